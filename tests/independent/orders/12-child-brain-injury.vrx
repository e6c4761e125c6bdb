# Invented: a ten-year-old with severe head injury, sedated, controlled ventilation to a narrow CO2 target.
# Targets after Kochanek PM et al., Pediatr Crit Care Med 2019;20:269-79 (PaCO2 35 to 40 mmHg, from memory); tidal volume and PEEP after
# Kneyber MCJ et al., Intensive Care Med 2017;43:1764-80. 220 mL is 6.9 mL/kg.
prescription "Severe head injury, child, narrow CO2 target"
  notation   1
  id         TM-4112
  revision   1
  status     active
  written    2026-11-23 00:30 by "paediatric intensive care consultant"
  review by  2026-11-24

patient
  age                    10 years
  sex                    female
  height                 139 cm
  weight                 32 kg measured 2026-11-22
  indication             "severe head injury, coma"
  diagnosis              normal lungs
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  none

airway
  interface      endotracheal tube cuffed
  tube size      6.0 mm
  cuff           inflated
  cuff pressure  22 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter 4 mL, closed suction, endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                 CMV-VC
  tidal volume         220 mL
  PEEP                 5 cmH2O
  rate                 20 /min allow 18 to 24 /min in steps of 1 /min
  inspiratory time     0.90 s
  trigger              none
  FiO2                 0.4 allow 0.3 to 0.6
  keep                 tidal volume * rate <= 5.5 L/min

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 5 s
  apnoea                     after 10 s
  power loss                 on
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  30 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          3.3 L/min
  high minute volume         7 L/min
  low tidal volume           160 mL
  high tidal volume          290 mL
  high rate                  35 /min
  low SpO2                   93 % after 10 s
  high SpO2                  99 % after 60 s
  low EtCO2                  4.1 kPa
  high EtCO2                 5.5 kPa

targets
  SpO2              94 to 98 %
  EtCO2             4.3 to 5.1 kPa
  PaCO2             4.7 to 5.3 kPa
  PaO2              11 to 16 kPa
  plateau pressure  up to 28 cmH2O

titration
  raise rate by 1 /min every 15 min up to 24 /min when EtCO2 above 5.1 kPa for 10 min
  lower rate by 1 /min every 15 min down to 18 /min when EtCO2 below 4.3 kPa for 10 min
  call when  PaCO2 above 5.7 kPa or PaCO2 below 4.3 kPa

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 10 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "paediatric intensive care consultant" when PaCO2 above 5.7 kPa or PaCO2 below 4.3 kPa or SpO2 below 92 % for 2 min
  ceiling "full treatment"
  gases at 30 min and 2 h

readings after change at 2026-11-23 01:10 by "bedside nurse"
  expired tidal volume  216 mL
  rate                  20 /min
  peak pressure         17 cmH2O
  plateau pressure      13 cmH2O
  PEEP                  5 cmH2O
  minute volume         4.3 L/min
  FiO2                  40 %
  SpO2                  98 %
  PaO2                  14.2 kPa
  PaCO2                 5.0 kPa
  EtCO2                 4.7 kPa
  pH                    7.39

checked 2026-11-23 01:30 by "paediatric intensive care registrar"

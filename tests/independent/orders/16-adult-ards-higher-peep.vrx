# Invented: a man with moderate acute lung injury, higher-PEEP ladder, volume-targeted pressure control.
# Settings after Brower RG et al., N Engl J Med 2004;351:327-36 (higher-PEEP table, 0.5 with 16 cmH2O) and the ARDS Network protocol
# (N Engl J Med 2000;342:1301-8). Predicted weight 73.3 kg: 440 mL is 6.0 mL/kg.
prescription "Acute lung injury, adult, higher PEEP"
  notation   1
  id         TM-4116
  revision   1
  status     active
  written    2026-11-23 13:20 by "intensive care consultant"
  review by  2026-11-24

patient
  age                    44 years
  sex                    male
  height                 178 cm
  weight                 92 kg measured 2026-11-22
  indication             "acute lung injury, pancreatitis"
  diagnosis              acute lung injury
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      8.0 mm
  cuff           inflated
  cuff pressure  28 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter 5 mL, closed suction, endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                          A/C-vtPC
  volume target                 6 mL/kg of predicted weight
  maximum inspiratory pressure  30 cmH2O above ambient
  PEEP                          16 cmH2O
  rate                          22 /min allow 18 to 30 /min
  inspiratory time              0.90 s
  rise time                     150 ms
  trigger                       flow
  trigger sensitivity           2 L/min
  FiO2                          0.5

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   20 cmH2O
  high inspiratory pressure  38 cmH2O
  low PEEP                   13 cmH2O
  low minute volume          6.5 L/min
  high minute volume         15 L/min
  low tidal volume           300 mL
  high tidal volume          590 mL
  high rate                  38 /min
  low SpO2                   86 % after 15 s
  high SpO2                  97 % after 60 s
  low EtCO2                  3.5 kPa
  high EtCO2                 8 kPa
  low FiO2                   45 %
  high FiO2                  55 %

targets
  expired tidal volume  4 to 8 mL/kg of predicted weight
  plateau pressure      up to 30 cmH2O
  driving pressure      up to 14 cmH2O
  SpO2                  88 to 95 %
  PaO2                  7.3 to 10.7 kPa
  pH                    7.30 to 7.45

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "intensive care consultant" when plateau pressure above 30 cmH2O or pH below 7.2 or SpO2 below 85 % for 3 min
  ceiling "full treatment"
  gases at 1 h and 4 h

readings after change at 2026-11-23 14:00 by "bedside nurse"
  expired tidal volume  438 mL
  rate                  22 /min
  peak pressure         28 cmH2O
  plateau pressure      28 cmH2O
  PEEP                  16 cmH2O
  total PEEP            16 cmH2O
  minute volume         9.6 L/min
  FiO2                  50 %
  SpO2                  94 %
  PaO2                  9.6 kPa
  PaCO2                 5.7 kPa
  pH                    7.35

checked 2026-11-23 14:30 by "intensive care registrar"

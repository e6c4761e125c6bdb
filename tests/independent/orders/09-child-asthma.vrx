# Invented: a six-year-old intubated for life-threatening asthma (the notation has "obstructive", not asthma).
# Settings after Kneyber MCJ et al., Intensive Care Med 2017;43:1764-80 (slow rate, long expiration, plateau at most 30 in obstruction, pH above 7.20
# acceptable); the rate of 14 with Ti 0.9 s is common practice, no published source.
prescription "Life-threatening asthma, child"
  notation   1
  id         TM-4109
  revision   1
  status     active
  written    2026-11-23 03:40 by "paediatric intensive care registrar"
  review by  2026-11-24

patient
  age                    6 years 2 months
  sex                    male
  height                 117 cm
  weight                 21 kg measured 2026-11-22
  indication             "life-threatening asthma, exhaustion"
  diagnosis              obstructive
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thick
  spontaneous breathing  none

airway
  interface      endotracheal tube cuffed
  tube size      5.0 mm
  cuff           inflated
  cuff pressure  22 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, nebuliser, heated humidifier, tubing 150 cm, Y-piece, CO2 adapter 4 mL, closed suction, endotracheal tube
  expiratory limb         tubing 150 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC
  nebuliser               on ventilator side

settings
  mode                 CMV-VC
  tidal volume         150 mL allow 125 to 165 mL
  PEEP                 5 cmH2O
  rate                 14 /min allow 10 to 16 /min
  inspiratory time     0.90 s
  trigger              none
  FiO2                 0.5 allow 0.3 to 0.8

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   14 cmH2O
  high inspiratory pressure  50 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          1 L/min
  high minute volume         4 L/min
  low tidal volume           90 mL
  high tidal volume          220 mL
  high rate                  30 /min
  low SpO2                   90 % after 10 s
  high SpO2                  99 % after 60 s
  low EtCO2                  4.5 kPa
  high EtCO2                 9.5 kPa

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  plateau pressure      up to 30 cmH2O
  SpO2                  92 to 97 %
  PaCO2                 6 to 10 kPa
  pH                    7.20 to 7.40

titration
  lower rate by 2 /min every 15 min down to 10 /min when total PEEP above 12 cmH2O
  raise rate by 1 /min every 30 min up to 16 /min when pH below 7.2 and total PEEP below 9 cmH2O
  call when  plateau pressure above 30 cmH2O or total PEEP above 15 cmH2O

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 8 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "paediatric intensive care consultant" when plateau pressure above 30 cmH2O or SpO2 below 88 % for 3 min or pH below 7.15
  ceiling "full treatment"
  gases at 1 h and 4 h

readings after change at 2026-11-23 04:10 by "bedside nurse"
  expired tidal volume  148 mL
  rate                  14 /min
  peak pressure         37 cmH2O
  plateau pressure      24 cmH2O
  PEEP                  5 cmH2O
  total PEEP            9 cmH2O
  minute volume         2.07 L/min
  FiO2                  50 %
  SpO2                  95 %
  PaCO2                 8.6 kPa
  EtCO2                 7.2 kPa
  pH                    7.22

checked 2026-11-23 04:30 by "paediatric intensive care consultant"

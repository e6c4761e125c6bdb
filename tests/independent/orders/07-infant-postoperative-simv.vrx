# Invented: a four-month-old with healthy lungs after abdominal surgery, SIMV with pressure support overnight.
# Settings after Kneyber MCJ et al., Intensive Care Med 2017;43:1764-80 (healthy lungs: PEEP 3 to 5, driving pressure low, volume not above 10 mL/kg).
prescription "Night after abdominal surgery, infant"
  notation   1
  id         TM-4107
  revision   1
  status     active
  written    2026-11-22 18:40 by "paediatric anaesthetist"
  review by  2026-11-23

patient
  age                    4 months
  sex                    male
  length                 63 cm
  weight                 6.4 kg measured 2026-11-21
  indication             "ventilation overnight after abdominal surgery"
  diagnosis              normal lungs
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      3.5 mm
  cuff           inflated
  cuff pressure  20 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, Y-piece, CO2 adapter 1 mL, endotracheal tube
  expiratory limb         tubing 150 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                     SIMV-PC with PS
  inspiratory pressure     15 cmH2O above ambient allow 13 to 17 cmH2O in steps of 1 cmH2O
  pressure support         10 cmH2O above PEEP allow 8 to 12 cmH2O in steps of 1 cmH2O
  PEEP                     5 cmH2O
  rate                     24 /min
  inspiratory time         0.60 s
  maximum inspiratory time 0.70 s
  rise time                100 ms
  trigger                  flow
  trigger sensitivity      0.5 L/min
  cycle-off                20 %
  FiO2                     0.3 allow 0.21 to 0.4
  keep                     pressure support = inspiratory pressure - PEEP

oxygen
  pre-oxygenation  50 % for 30 s before suction

alarms
  disconnection              after 5 s
  apnoea                     after 10 s
  power loss                 on
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  25 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          0.7 L/min
  high minute volume         2.5 L/min
  low tidal volume           27 mL
  high tidal volume          64 mL
  high rate                  60 /min
  low SpO2                   92 % after 10 s
  high SpO2                  99 % after 60 s
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, expired volume monitor, cuff pressure gauge

equipment
  self-inflating bag, mask, suction, suction catheter 6 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "paediatric intensive care consultant" when SpO2 below 90 % for 3 min or EtCO2 above 7.5 kPa for 10 min
  ceiling "full treatment"
  gases at 1 h and 6 h

readings after change at 2026-11-22 19:10 by "bedside nurse"
  expired tidal volume  45 mL
  rate                  28 /min
  peak pressure         15 cmH2O
  PEEP                  5 cmH2O
  minute volume         1.2 L/min
  FiO2                  30 %
  SpO2                  97 %
  EtCO2                 5.3 kPa

checked 2026-11-22 19:20 by "paediatric intensive care registrar"

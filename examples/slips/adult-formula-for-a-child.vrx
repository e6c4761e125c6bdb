# Slip: a child's volume is counted by the predicted weight of adults. Found by: volume.predicted-weight-child
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Night after airway surgery, girl of six"
  notation   1
  id         TM-0698
  revision   1
  status     active
  written    2026-11-16 17:45 by "registrar, children's intensive care"
  review by  2027-01-11

patient
  age                    6 years
  sex                    female
  height                 115 cm
  weight                 20.5 kg measured 2026-11-15
  indication             "planned ventilation overnight after airway surgery"
  diagnosis              normal lungs
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface      endotracheal tube cuffed
  tube size      4.5 mm
  cuff           inflated
  cuff pressure  20 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, Y-piece, flow sensor 5 mL, CO2 adapter 4 mL,
                          endotracheal tube
  expiratory limb         tubing 150 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC
  nebuliser               on patient side

settings
  mode                          SIMV-vtPC with PS
  PEEP                          5 cmH2O
  volume target                 8 mL/kg of predicted weight
  minimum inspiratory pressure  10 cmH2O above ambient
  maximum inspiratory pressure  22 cmH2O above ambient
  pressure support              10 cmH2O above PEEP
  rate                          20 /min allow 18 to 22 /min
  inspiratory time              0.7 s
  rise time                     100 ms
  trigger                       flow
  trigger sensitivity           0.8 L/min
  cycle-off                     25 %
  FiO2                          30 % allow 21 to 40 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   8 cmH2O
  high inspiratory pressure  28 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          1.5 L/min
  high minute volume         4 L/min
  high rate                  40 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  plateau pressure      up to 25 cmH2O
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

titration
  raise FiO2 by 5 % every 5 min up to 40 % when SpO2 below 94 % for 5 min

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, expired volume monitor, cuff pressure gauge

escalation
  gases  at 1 h and 6 h
  call "children's intensive care consultant" when SpO2 below 92 % for 3 min or EtCO2 above 7 kPa for 5 min

equipment
  self-inflating bag, mask, suction, suction catheter 8 Fr, spare tube same size, spare tube one size smaller

checked 2026-11-16 18:30 by "second checker, children's pharmacy"

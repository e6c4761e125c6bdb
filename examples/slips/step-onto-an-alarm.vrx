# Slip: the steps of PEEP and peak end at the high pressure alarm. Found by: titration.breaks-rule
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "First night after abdominal surgery, adult with a breathing tube"
  notation   1
  id         TM-0827
  revision   1
  status     active
  written    2026-11-13 18:15 by "registrar, intensive care"
  review by  2027-01-13

patient
  age                    67 years
  sex                    male
  height                 174 cm
  weight                 76 kg measured 2026-11-12
  indication             "planned ventilation overnight after a long abdominal operation"
  diagnosis              normal lungs
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface      endotracheal tube cuffed
  tube size      8.0 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL,
                          endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  SIMV-PC with PS
  PEEP                  5 cmH2O
  inspiratory pressure  17 cmH2O above ambient
  pressure support      12 cmH2O above PEEP
  rate                  15 /min
  inspiratory time      1 s
  I:E                   1:3  # the same as 1 s at 15 /min
  rise time             150 ms
  trigger               flow
  trigger sensitivity   2 L/min
  cycle-off             25 %
  FiO2                  35 % allow 25 to 50 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   13 cmH2O
  high inspiratory pressure  23 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          4 L/min
  high minute volume         14 L/min
  high rate                  35 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

titration
  raise PEEP and inspiratory pressure by 2 cmH2O every 30 min up to 11 cmH2O when SpO2 below 90 % for 10 min
  raise FiO2 by 5 % every 10 min up to 50 % when SpO2 below 94 % for 5 min
  lower FiO2 by 5 % every 30 min down to 25 % when SpO2 above 98 % for 30 min

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "intensive care registrar" when SpO2 below 92 % for 3 min or EtCO2 above 7 kPa for 5 min

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

checked 2026-11-13 19:00 by "second checker, intensive care pharmacy"

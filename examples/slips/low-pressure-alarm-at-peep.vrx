# Slip: PEEP and peak were raised, and the low-pressure alarm now stands at PEEP, where it never sounds. Found by: alarms.low-pressure-at-peep
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Night after aortic surgery, adult with a breathing tube"
  notation   1
  id         TM-0626
  revision   1
  status     active
  written    2026-11-13 18:15 by "registrar, intensive care"
  review by  2027-01-13

patient
  age                    70 years
  sex                    male
  height                 176 cm
  weight                 83 kg measured 2026-11-12
  indication             "planned ventilation overnight after aortic surgery"
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
  PEEP                  8 cmH2O
  inspiratory pressure  20 cmH2O above ambient
  pressure support      12 cmH2O above PEEP
  rate                  15 /min
  inspiratory time      1 s
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
  low inspiratory pressure   8 cmH2O
  high inspiratory pressure  30 cmH2O
  low PEEP                   6 cmH2O
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

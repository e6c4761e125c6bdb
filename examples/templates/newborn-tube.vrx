# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Newborn with a breathing tube for respiratory distress"
  notation   1
  id         newborn-tube
  revision   3
  status     active
  written    2026-10-01 11:00 by "consultant, newborn care"
  approved   2026-10-20 14:50 by "newborn guideline group"
  review by  2027-10-01

patient
  age                    0 to 28 days
  gestation              34 to 41 weeks
  sex                    female or male
  weight                 2.2 to 4 kg
  indication             "respiratory distress of the newborn"
  diagnosis              respiratory distress syndrome
  place of care          intensive care
  hours ventilated       24 h/day
  spontaneous breathing  weak or present

airway
  interface  endotracheal tube uncuffed
  tube size  3 to 3.5 mm

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, Y-piece, flow sensor 0.8 mL, CO2 adapter 0.5 mL,
                          endotracheal tube
  expiratory limb         tubing 150 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  PEEP                  5 to 6 cmH2O
  inspiratory pressure  14 to 20 cmH2O above ambient
  rate                  30 to 50 /min
  inspiratory time      0.3 to 0.4 s
  rise time             50 to 80 ms
  trigger               flow, leak-compensated
  trigger sensitivity   0.2 to 0.5 L/min
  FiO2                  21 to 60 %
  # a slipped small tube still holds pressure, so the low-pressure alarm stays close under the peak
  keep  alarm low inspiratory pressure is between inspiratory pressure - 3 cmH2O and inspiratory pressure - 2 cmH2O

alarms
  disconnection              after 5 s
  apnoea                     after 10 s
  low inspiratory pressure   11 to 18 cmH2O
  high inspiratory pressure  26 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          100 to 120 mL/kg/min of measured weight
  high minute volume         380 to 480 mL/kg/min of measured weight
  high rate                  80 to 90 /min
  low SpO2                   88 %
  high SpO2                  96 %
  power loss                 on

targets
  expired tidal volume  4 to 6 mL/kg of measured weight
  SpO2                  90 to 95 %
  EtCO2                 4.5 to 6.5 kPa
  PaCO2                 5 to 7 kPa
  pH                    7.25 to 7.4

titration
  raise FiO2 by 5 % every 5 min up to 60 % when SpO2 below 90 % for 2 min
  lower FiO2 by 3 % every 5 min down to 21 % when SpO2 above 95 % for 5 min

monitoring
  pulse oximeter, capnograph, transcutaneous CO2, ECG, oxygen analyser, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "newborn consultant" when SpO2 below 88 % for 2 min or pH below 7.2 or FiO2 above 50 %

equipment
  self-inflating bag, mask, suction, suction catheter 6 Fr, spare tube same size, spare tube one size smaller

checked 2026-10-08 12:30 by "second checker, newborn pharmacy"

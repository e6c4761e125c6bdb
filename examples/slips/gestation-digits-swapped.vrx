# Slip: two digits of the gestation are in each other's place. Found by: patient.gestation-long
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Breathing tube for respiratory distress, late preterm newborn"
  notation   1
  id         TM-1206
  revision   2
  status     active
  written    2026-11-12 08:40 by "registrar, newborn care"
  review by  2027-01-08

patient
  age                    2 days
  gestation              43 weeks 2 days
  sex                    female
  height                 45 cm
  weight                 2.3 kg measured 2026-11-12
  indication             "respiratory distress after birth at 34 weeks, tube kept after surfactant"
  diagnosis              respiratory distress syndrome
  place of care          intensive care
  hours ventilated       24 h/day
  spontaneous breathing  present

airway
  interface  endotracheal tube uncuffed
  tube size  3.0 mm

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
  PEEP                  5 cmH2O
  inspiratory pressure  18 cmH2O above ambient
  rate                  40 /min allow 35 to 45 /min
  inspiratory time      0.35 s
  rise time             50 ms
  trigger               flow, leak-compensated
  trigger sensitivity   0.2 L/min
  FiO2                  30 % allow 21 to 40 %

oxygen
  pre-oxygenation  40 % for 30 s before suction

alarms
  disconnection              after 5 s
  apnoea                     after 10 s
  low inspiratory pressure   15 cmH2O
  high inspiratory pressure  26 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          0.25 L/min
  high minute volume         0.9 L/min
  high rate                  80 /min
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
  raise FiO2 by 5 % every 5 min up to 40 % when SpO2 below 90 % for 2 min
  lower FiO2 by 3 % every 5 min down to 21 % when SpO2 above 95 % for 5 min

monitoring
  pulse oximeter, capnograph, transcutaneous CO2, ECG, oxygen analyser, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "newborn consultant" when SpO2 below 88 % for 2 min or pH below 7.2 or FiO2 above 38 %

equipment
  self-inflating bag, mask, suction, suction catheter 6 Fr, spare tube same size, spare tube one size smaller

checked 2026-11-12 10:15 by "second checker, newborn pharmacy"

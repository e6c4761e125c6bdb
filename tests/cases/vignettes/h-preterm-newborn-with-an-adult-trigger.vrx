# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: the ventilator came from the adult unit, and so did its trigger.
prescription "Breathing tube after surfactant, preterm newborn"
  notation     1
  id           TM-0708
  revision     1
  status       active
  written      2026-11-22 05:50 by "registrar, newborn care"
  valid until  2026-11-29

patient
  age                    1 day
  gestation              29 weeks 4 days
  sex                    male
  height                 38 cm
  weight                 1.3 kg measured 2026-11-22
  indication             "respiratory distress after birth at 29 weeks"
  diagnosis              respiratory distress syndrome
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface  endotracheal tube uncuffed
  tube size  3.0 mm

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, Y-piece, flow sensor 0.7 mL, CO2 adapter 0.5 mL,
                          endotracheal tube
  expiratory limb         tubing 150 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  17 cmH2O above ambient
  rate                  40 /min
  inspiratory time      0.33 s
  rise time             50 ms
  trigger               flow, leak-compensated
  trigger sensitivity   3 L/min
  FiO2                  28 % allow 21 to 40 %

oxygen
  pre-oxygenation  38 % for 30 s before suction

alarms
  disconnection              after 5 s
  apnoea                     after 10 s
  low inspiratory pressure   14 cmH2O
  high inspiratory pressure  25 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          0.14 L/min
  high minute volume         0.5 L/min
  high rate                  80 /min
  low SpO2                   88 %
  high SpO2                  96 %
  power loss                 on

targets
  expired tidal volume  5 to 6 mL/kg of measured weight
  SpO2                  90 to 95 %
  PaCO2                 5 to 7.5 kPa
  pH                    7.25 to 7.4

monitoring
  pulse oximeter, capnograph, transcutaneous CO2, ECG, oxygen analyser, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "newborn consultant" when SpO2 below 88 % for 2 min or pH below 7.2 or FiO2 above 38 %

equipment
  self-inflating bag, mask, suction, suction catheter 6 Fr, spare tube same size, spare tube one size smaller

checked 2026-11-22 07:00 by "second checker, newborn pharmacy"

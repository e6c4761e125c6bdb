# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: septic lungs, 126 kg, and 6 mL/kg taken of what the scales say.
prescription "Injured lungs and obesity, first order after the breathing tube"
  notation     1
  id           TM-0702
  revision     1
  status       active
  written      2026-11-21 02:40 by "registrar, intensive care"
  valid until  2026-11-28

patient
  age                    46 years
  sex                    female
  height                 158 cm
  weight                 126 kg measured 2026-11-20
  indication             "septic shock and injured lungs, breathing tube this night"
  diagnosis              acute lung injury
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      7.0 mm
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
  mode                 A/C-VC
  PEEP                 12 cmH2O
  tidal volume         6 mL/kg of measured weight
  rate                 18 /min
  inspiratory time     1.1 s
  trigger              flow
  trigger sensitivity  2 L/min
  FiO2                 60 % allow 50 to 80 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   16 cmH2O
  high inspiratory pressure  40 cmH2O
  low PEEP                   9 cmH2O
  low minute volume          6 L/min
  high minute volume         20 L/min
  high rate                  35 /min
  low SpO2                   86 %
  high SpO2                  97 %
  low EtCO2                  3.5 kPa
  high EtCO2                 8 kPa
  power loss                 on

targets
  plateau pressure  up to 30 cmH2O
  SpO2              88 to 95 %
  EtCO2             4 to 7 kPa
  pH                7.3 to 7.45

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "intensive care consultant" when pH below 7.2 or SpO2 below 86 % for 5 min or plateau pressure above 30 cmH2O

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

checked 2026-11-21 03:30 by "second checker, nurse in charge"

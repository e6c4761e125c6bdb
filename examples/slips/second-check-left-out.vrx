# Slip: nobody but the author has looked at the order. Found by: governance.unchecked
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Nasal CPAP for a soft trachea, infant"
  notation   1
  id         TM-0678
  revision   1
  status     active
  written    2026-11-09 14:20 by "registrar, children's respiratory ward"
  review by  2027-01-15

patient
  age                    6 months
  sex                    male
  height                 67 cm
  weight                 7.6 kg measured 2026-11-08
  indication             "tracheomalacia, laboured breathing with a cold"
  diagnosis              tracheomalacia
  hypercapnia risk       no
  place of care          ward
  hours ventilated       20 h/day
  spontaneous breathing  present

airway
  interface  nasal mask vented

circuit
  limb            single with leak port
  assembly        ventilator, filter, heated humidifier, tubing 150 cm, nasal mask
  oxygen inlet    capped
  humidification  heated humidifier

settings
  mode  CPAP
  PEEP  6 cmH2O
  FiO2  25 % allow 21 to 35 %

back-up after apnoea 10 s
  inspiratory pressure  14 cmH2O above ambient
  rate                  26 /min
  inspiratory time      0.6 s

alarms
  disconnection              after 10 s
  apnoea                     after 10 s
  low PEEP                   4 cmH2O
  high inspiratory pressure  25 cmH2O
  low minute volume          0.8 L/min
  high minute volume         4 L/min
  high rate                  60 /min
  low SpO2                   90 %
  high SpO2                  98 %
  power loss                 on

targets
  SpO2                92 to 97 %
  PaCO2               4.7 to 6.5 kPa
  unintentional leak  up to 15 L/min

monitoring
  pulse oximeter, ECG, transcutaneous CO2, leak monitor, expired volume monitor, blood gas analyser

escalation
  gases    at 1 h and 4 h
  ceiling  "breathing tube and intensive care, agreed with the family"
  call "children's intensive care team" when SpO2 below 90 % for 5 min or rate above 60 /min for 10 min or FiO2 above 33 %

equipment
  self-inflating bag, mask, suction, suction catheter 8 Fr, battery 9 h, spare mask

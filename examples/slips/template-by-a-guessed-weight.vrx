# Slip: the template counts by an estimate of the weight. Found by: volume.estimate-in-a-template
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Mask support of an adult with obesity hypoventilation"
  notation   1
  id         obesity-support-estimated
  revision   2
  status     active
  written    2026-10-07 15:30 by "consultant, sleep and breathing support"
  approved   2026-10-20 14:20 by "acute support guideline group"
  review by  2027-10-01

patient
  age                    at least 18 years
  sex                    female or male
  height                 145 to 195 cm
  indication             "hypercapnic failure with obesity hypoventilation and obstruction in sleep"
  diagnosis              obesity hypoventilation
  hypercapnia risk       yes
  place of care          ward
  spontaneous breathing  present

airway
  interface  oronasal mask vented

circuit
  limb            single with leak port
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, anti-asphyxia valve, oronasal mask
  oxygen inlet    capped
  humidification  heated humidifier

settings
  mode                          S/T-vtPS
  EPAP                          8 to 10 cmH2O
  volume target                 6 to 8 mL/kg of estimated weight
  minimum inspiratory pressure  16 to 18 cmH2O above ambient
  maximum inspiratory pressure  24 to 28 cmH2O above ambient
  back-up rate                  14 to 16 /min
  inspiratory time              1.2 to 1.5 s
  minimum inspiratory time      0.8 to 1 s
  maximum inspiratory time      1.6 to 1.8 s
  rise time                     150 to 250 ms
  trigger                       flow, leak-compensated
  trigger sensitivity           1 to 2 L/min
  cycle-off                     20 to 30 %
  FiO2                          21 to 40 %

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   12 to 14 cmH2O
  high inspiratory pressure  34 to 36 cmH2O
  low minute volume          66 to 76 mL/kg/min of predicted weight
  high minute volume         220 to 300 mL/kg/min of predicted weight
  high rate                  35 /min
  low SpO2                   85 to 86 %
  high SpO2                  94 to 95 %
  power loss                 on

targets
  unintentional leak  up to 24 L/min
  SpO2                88 to 92 %
  PaCO2               5 to 7 kPa
  pH                  7.35 to 7.45

monitoring
  pulse oximeter, transcutaneous CO2, leak monitor, expired volume monitor, blood gas analyser

escalation
  gases    at 1 h and 4 h
  ceiling  "as agreed for the patient before support starts; without an agreement, intensive care is asked at once"
  call "respiratory registrar" when pH below 7.25 or SpO2 below 85 % for 5 min or rate above 35 /min for 10 min

equipment
  self-inflating bag, mask, suction

checked 2026-10-13 16:05 by "second checker, respiratory physiology"

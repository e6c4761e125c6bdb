# Slip: the lowest pressure of volume-targeted support was left out. Found by: mode.lowest-pressure-missing
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Mask support by volume target, woman with obesity hypoventilation"
  notation   1
  id         TM-1154
  revision   2
  status     active
  written    2026-11-05 12:10 by "registrar, sleep and breathing support"
  review by  2027-02-05

patient
  age                    52 years
  sex                    female
  height                 163 cm
  weight                 109 kg measured 2026-11-04
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
  EPAP                          9 cmH2O allow 8 to 10 cmH2O
  volume target                 430 mL allow 400 to 440 mL
  maximum inspiratory pressure  26 cmH2O above ambient
  back-up rate                  15 /min
  inspiratory time              1.3 s
  minimum inspiratory time      0.8 s
  maximum inspiratory time      1.6 s
  rise time                     200 ms
  trigger                       flow, leak-compensated
  trigger sensitivity           1.5 L/min
  cycle-off                     25 %
  FiO2                          24 % allow 21 to 35 %

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   13 cmH2O
  high inspiratory pressure  34 cmH2O
  low minute volume          4 L/min
  high minute volume         14 L/min
  high rate                  35 /min
  low SpO2                   85 %
  high SpO2                  94 %
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
  ceiling  "breathing tube and intensive care, agreed with the patient"
  call "respiratory registrar" when pH below 7.25 or SpO2 below 85 % for 5 min or rate above 35 /min for 10 min

equipment
  self-inflating bag, mask, suction

checked 2026-11-05 14:00 by "second checker, respiratory physiology"

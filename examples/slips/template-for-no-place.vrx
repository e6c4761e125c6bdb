# Slip: the template does not say where it is used. Found by: order.population
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Acute mask support of an adult with chronic obstructive disease"
  notation   1
  id         copd-acute-support-nowhere
  revision   4
  status     active
  written    2026-10-05 10:20 by "consultant, respiratory ward"
  approved   2026-10-20 14:10 by "acute support guideline group"
  review by  2027-10-01

patient
  age                    at least 40 years
  sex                    female or male
  indication             "acute hypercapnic failure with acidosis that medical treatment has not corrected"
  diagnosis              obstructive
  hypercapnia risk       yes
  spontaneous breathing  present

airway
  interface  oronasal mask vented

circuit
  limb            single with leak port
  assembly        ventilator, filter, tubing 180 cm, anti-asphyxia valve, oronasal mask
  oxygen inlet    capped
  humidification  none

settings
  mode                      S/T-PS
  EPAP                      4 to 6 cmH2O
  IPAP                      15 to 24 cmH2O in steps of 1 cmH2O
  keep                      IPAP >= EPAP + 10 cmH2O
  back-up rate              16 to 18 /min
  inspiratory time          0.9 to 1.1 s
  minimum inspiratory time  0.5 to 0.6 s
  maximum inspiratory time  1.2 to 1.4 s
  rise time                 100 to 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 to 2 L/min
  cycle-off                 40 to 50 %
  FiO2                      24 to 40 %

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   10 to 12 cmH2O
  high inspiratory pressure  30 cmH2O
  low minute volume          3 to 5 L/min
  high minute volume         15 to 20 L/min
  high rate                  35 to 40 /min
  low SpO2                   85 to 86 %
  high SpO2                  94 %
  power loss                 on

targets
  rate                16 to 25 /min
  unintentional leak  up to 24 L/min
  SpO2                88 to 92 %
  PaCO2               5 to 7 kPa
  pH                  7.35 to 7.45

titration
  raise IPAP by 1 cmH2O every 10 min up to 24 cmH2O above ambient when rate above 25 /min for 10 min
  stop when rate below 22 /min

monitoring
  pulse oximeter, ECG, expired volume monitor, leak monitor, blood gas analyser

escalation
  gases    at 1 h and 4 h
  ceiling  "as agreed for the patient before support starts; without an agreement, intensive care is asked at once"
  call "respiratory registrar" when pH below 7.25 or SpO2 below 85 % for 5 min or rate above 35 /min for 10 min

equipment
  self-inflating bag, mask, suction

checked 2026-10-12 09:35 by "second checker, respiratory physiology"

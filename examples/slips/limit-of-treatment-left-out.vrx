# Slip: treatment is limited, and the line that says to what was left out. Found by: escalation.limit-unsaid
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Acute mask support, no breathing tube"
  notation   1
  id         TM-0912
  revision   1
  status     active
  written    2026-11-20 02:30 by "registrar, acute medicine"
  review by  2027-01-04

patient
  age                    77 years
  sex                    male
  height                 171 cm
  weight                 63 kg measured 2026-11-19
  indication             "acute hypercapnic exacerbation, pH 7.26 after an hour of treatment"
  diagnosis              obstructive
  hypercapnia risk       yes
  place of care          ward
  aim of care            limited treatment
  secretions             thin
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
  EPAP                      4 cmH2O
  IPAP                      16 cmH2O allow 15 to 24 cmH2O in steps of 1 cmH2O
  back-up rate              16 /min
  inspiratory time          1 s
  minimum inspiratory time  0.5 s
  maximum inspiratory time  1.3 s
  rise time                 150 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 45 %
  FiO2                      28 % allow 24 to 40 %

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  32 cmH2O
  low minute volume          4 L/min
  high minute volume         18 L/min
  high rate                  36 /min
  low SpO2                   86 %
  high SpO2                  94 %
  power loss                 on

targets
  SpO2   88 to 92 %
  PaCO2  5 to 7.5 kPa
  pH     7.35 to 7.45

titration
  raise IPAP by 1 cmH2O every 10 min up to 24 cmH2O above ambient when spontaneous rate above 25 /min for 10 min

monitoring
  pulse oximeter, ECG, expired volume monitor, leak monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "respiratory registrar" when pH below 7.25 or SpO2 below 85 % for 5 min or spontaneous rate above 35 /min for 10 min

equipment
  self-inflating bag, mask, suction

checked 2026-11-20 02:55 by "second checker, nurse in charge"

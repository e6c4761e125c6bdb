# Slip: the flow is that of an adult. Found by: volume.gas-flow
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "High flow by nasal prongs, infant with bronchiolitis"
  notation   1
  id         TM-0708
  revision   1
  status     active
  written    2026-11-20 19:05 by "registrar, children's ward"
  review by  2027-01-04

patient
  age                    4 months
  sex                    male
  height                 62 cm
  weight                 6.4 kg measured 2026-11-20
  indication             "bronchiolitis, laboured breathing"
  diagnosis              other
  hypercapnia risk       no
  place of care          ward
  secretions             thin
  spontaneous breathing  present

airway
  interface  nasal prongs

circuit
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, nasal prongs
  oxygen inlet    capped
  humidification  heated humidifier

settings
  mode             high flow
  gas flow         40 L/min
  gas temperature  34 degC
  FiO2             45 % allow 30 to 60 %

alarms
  disconnection  after 10 s
  apnoea         after 20 s  # counted by the ECG monitor
  high rate      70 /min
  low SpO2       92 %
  high SpO2      99 %
  power loss     on

targets
  rate  25 to 55 /min
  SpO2  94 to 98 %

titration
  raise FiO2 by 5 % every 10 min up to 60 % when SpO2 below 94 % for 5 min
  lower FiO2 by 5 % every 30 min down to 30 % when SpO2 above 98 % for 30 min

monitoring
  pulse oximeter, ECG, oxygen analyser, blood gas analyser

escalation
  gases    at 1 h and 4 h
  ceiling  "mask support on this ward; no breathing tube, agreed with the patient"
  call "respiratory registrar" when SpO2 below 92 % for 5 min or spontaneous rate above 60 /min for 10 min or FiO2 above 55 %

equipment
  self-inflating bag, mask, suction

checked 2026-11-20 19:40 by "second checker, nurse in charge"

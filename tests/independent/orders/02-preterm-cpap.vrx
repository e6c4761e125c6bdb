# Invented: a 29-week newborn on CPAP by short nasal prongs from birth.
# Starting settings after Sweet DG et al., Neonatology 2023;120:3-23: CPAP 6 to 8 cmH2O, SpO2 90 to 94 %, alarms 89 and 95 %,
# surfactant considered when the need is above 30 % oxygen.
prescription "CPAP from birth, preterm newborn"
  notation   1
  id         TM-4102
  revision   2
  status     active
  replaces   TM-4102 revision 1
  written    2026-11-22 14:10 by "neonatal consultant"
  review by  2026-11-24

patient
  age                    2 days
  gestation              29 weeks 3 days
  sex                    male
  length                 38 cm
  weight                 1.25 kg birth 2026-11-20
  indication             "respiratory distress syndrome, breathing by himself"
  diagnosis              respiratory distress syndrome
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface  nasal prongs non-vented

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 120 cm, Y-piece, nasal prongs
  expiratory limb         tubing 120 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode  CPAP
  PEEP  6 cmH2O allow 6 to 8 cmH2O in steps of 1 cmH2O
  FiO2  0.25 allow 0.21 to 0.4

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  power loss                 on
  low PEEP                   4 cmH2O after 10 s
  high inspiratory pressure  12 cmH2O
  high rate                  90 /min
  low SpO2                   89 % after 10 s
  high SpO2                  95 % after 20 s

targets
  SpO2   90 to 94 %
  PaCO2  5 to 7.5 kPa
  pH     7.22 to 7.40

titration
  raise PEEP by 1 cmH2O every 30 min up to 8 cmH2O when FiO2 above 27 % for 30 min
  raise FiO2 by 0.02 every 2 min up to 0.4 when SpO2 below 90 % for 1 min
  lower FiO2 by 0.02 every 5 min down to 0.21 when SpO2 above 94 % for 5 min
  call when  FiO2 above 30 % for 30 min

monitoring
  pulse oximeter, ECG, oxygen analyser, transcutaneous CO2

equipment
  self-inflating bag, mask, suction, suction catheter 6 Fr, spare circuit

escalation
  call "neonatal consultant on call" when FiO2 above 30 % for 30 min or SpO2 below 85 % for 2 min or pH below 7.22
  ceiling "full intensive care, intubation for repeated apnoea"
  gases at 4 h and 12 h

checked 2026-11-22 14:45 by "neonatal nurse in charge"

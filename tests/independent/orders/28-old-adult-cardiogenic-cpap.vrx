# Invented: an old man with acute cardiogenic pulmonary oedema on mask CPAP.
# Settings after Gray A et al. (3CPO), N Engl J Med 2008;359:142-51 (CPAP 5 up to 15 cmH2O; from memory). SpO2 94 to 98 %: BTS, Thorax 2017;72 Suppl 1:ii1-90.
prescription "CPAP, acute cardiogenic oedema"
  notation   1
  id         TM-4128
  revision   1
  status     active
  written    2026-11-23 04:10 by "acute medicine registrar"
  review by  2026-11-24

patient
  age                    79 years
  sex                    male
  height                 170 cm
  weight                 82 kg estimated 2026-11-23
  indication             "acute cardiogenic pulmonary oedema"
  diagnosis              cardiogenic oedema
  hypercapnia risk       no
  place of care          ward
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface  oronasal mask vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, anti-asphyxia valve, oronasal mask
  leak port flow          32 L/min at 10 cmH2O
  humidification          heated humidifier
  humidifier temperature  31 degC

settings
  mode  CPAP
  PEEP  8 cmH2O allow 5 to 12 cmH2O in steps of 1 cmH2O
  FiO2  0.6 allow 0.28 to 0.8

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low PEEP                   4 cmH2O after 10 s
  high inspiratory pressure  20 cmH2O
  high leak                  70 L/min after 30 s
  high rate                  40 /min
  low SpO2                   90 % after 15 s
  high SpO2                  99 % after 60 s

targets
  SpO2  94 to 98 %

titration
  raise PEEP by 1 cmH2O every 5 min up to 12 cmH2O when SpO2 below 94 % for 5 min
  lower FiO2 by 0.1 every 10 min down to 0.28 when SpO2 above 98 % for 5 min
  raise FiO2 by 0.1 every 5 min up to 0.8 when SpO2 below 94 % for 3 min
  call when  SpO2 below 90 % for 5 min

monitoring
  pulse oximeter, ECG, leak monitor, blood gas analyser

equipment
  spare mask, suction, self-inflating bag, mask, oxygen cylinder 680 L

escalation
  call "cardiology registrar on call" when SpO2 below 90 % for 5 min or spontaneous rate above 35 /min for 15 min
  ceiling "mask ventilation, no intubation, agreed with patient and family"
  gases at 1 h

readings before change at 2026-11-23 03:50 by "emergency department nurse"
  spontaneous rate  34 /min
  FiO2              60 %
  SpO2              88 %
  PaO2              7.6 kPa
  PaCO2             4.7 kPa
  pH                7.33
  heart rate        124 /min

checked 2026-11-23 04:30 by "coronary care nurse in charge"

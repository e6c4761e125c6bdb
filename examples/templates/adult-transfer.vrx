# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Transfer of an adult with a breathing tube"
  notation   1
  id         adult-transfer
  revision   4
  status     active
  written    2026-10-06 08:30 by "consultant, critical care transfer"
  approved   2026-10-20 15:00 by "transfer guideline group"
  review by  2027-10-01

patient
  age                    at least 18 years
  sex                    female or male
  height                 155 to 185 cm
  indication             "road transfer between hospitals with a breathing tube"
  diagnosis              normal lungs
  hypercapnia risk       no
  place of care          transfer
  hours ventilated       24 h/day
  secretions             none or thin
  spontaneous breathing  none or weak

airway
  interface      endotracheal tube cuffed
  tube size      7 to 8.5 mm
  cuff           inflated
  cuff pressure  20 to 30 cmH2O

circuit
  limb            single with exhalation valve
  assembly        ventilator, filter, tubing 180 cm, exhalation valve, CO2 adapter 5 mL, HME 30 mL, endotracheal tube
  oxygen inlet    capped
  humidification  HME

settings
  mode                 A/C-VC
  PEEP                 5 to 8 cmH2O
  tidal volume         7 to 8 mL/kg of predicted weight
  rate                 12 to 15 /min
  inspiratory time     1 to 1.2 s
  inspiratory pause    0.2 to 0.3 s
  trigger              flow
  trigger sensitivity  2 to 3 L/min
  FiO2                 40 to 80 %

oxygen
  # enough for twice the way at the highest minute volume and fraction allowed, all of it drawn from the cylinders
  cylinder   2300 L
  cylinders  2
  transfer   30 to 90 min
  reserve    30 min

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   10 to 12 cmH2O
  high inspiratory pressure  35 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          65 to 75 mL/kg/min of predicted weight
  high minute volume         160 to 200 mL/kg/min of predicted weight
  high rate                  30 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  3.5 to 4 kPa
  high EtCO2                 6 to 6.5 kPa
  power loss                 on

targets
  plateau pressure  up to 28 cmH2O
  SpO2              94 to 98 %
  EtCO2             4.5 to 5.5 kPa

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge

escalation
  call "transfer consultant by telephone" when SpO2 below 92 % for 3 min or EtCO2 above 6.5 kPa for 3 min or peak pressure above 35 cmH2O

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 12 Fr, oxygen cylinder
  spare tube same size, spare tube one size smaller, spare circuit, capnograph, pulse oximeter
  second ventilator, battery 5 h, trial on travel ventilator

checked 2026-10-14 17:20 by "second checker, clinical engineering"

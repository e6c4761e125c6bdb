# Slip: no spare breathing tube of the same size comes along. Found by: transport.spare-tube
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Road transfer to a children's centre, child with a breathing tube"
  notation   1
  id         TM-1157
  revision   1
  status     active
  written    2026-11-21 02:40 by "registrar, children's transfer"
  review by  2027-01-04

patient
  age                    5 years
  sex                    female
  height                 110 cm
  weight                 18 kg estimated
  indication             "transfer after a long fit, breathing tube for a safe airway"
  diagnosis              normal lungs
  hypercapnia risk       no
  place of care          transfer
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      5.0 mm
  cuff           inflated
  cuff pressure  20 cmH2O

circuit
  limb            single with exhalation valve
  assembly        ventilator, filter, tubing 150 cm, exhalation valve, CO2 adapter 4 mL, HME 10 mL, endotracheal tube
  oxygen inlet    capped
  humidification  HME

settings
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  17 cmH2O above ambient
  rate                  20 /min
  inspiratory time      0.8 s
  rise time             100 ms
  trigger               flow
  trigger sensitivity   1 L/min
  FiO2                  50 % allow 40 to 60 %

oxygen
  cylinder         2300 L
  cylinders        2
  transfer         70 min
  reserve          30 min
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   12 cmH2O
  high inspiratory pressure  27 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          1.5 L/min
  high minute volume         5 L/min
  high rate                  40 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 6 kPa
  power loss                 on

targets
  expired tidal volume  110 to 145 mL  # an estimate is no weight to count by, so the volumes stand in millilitres
  SpO2                  94 to 98 %
  EtCO2                 4.5 to 5.5 kPa

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge

escalation
  call "children's transfer consultant by telephone" when SpO2 below 92 % for 3 min or EtCO2 above 6 kPa for 3 min

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 8 Fr, oxygen cylinder
  spare tube one size smaller, spare circuit, capnograph, pulse oximeter
  second ventilator, battery 5 h, trial on travel ventilator

checked 2026-11-21 03:05 by "second checker, transfer nurse"

# Slip: the oxygen would last for the fraction that is set, and not if the patient gets worse. Found by: oxygen.supply-at-worst
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Road transfer to a neurosurgical centre, adult with a breathing tube"
  notation   1
  id         TM-1211
  revision   1
  status     active
  written    2026-11-20 21:10 by "registrar, critical care transfer"
  review by  2027-01-04

patient
  age                    64 years
  sex                    male
  height                 176 cm
  weight                 77 kg measured 2026-11-20
  indication             "transfer after bleeding in the head, breathing tube for a safe airway"
  diagnosis              normal lungs
  hypercapnia risk       no
  place of care          transfer
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      8.0 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb            single with exhalation valve
  assembly        ventilator, filter, tubing 180 cm, exhalation valve, CO2 adapter 5 mL, HME 30 mL, endotracheal tube
  oxygen inlet    capped
  humidification  HME

settings
  mode                 A/C-VC
  PEEP                 5 cmH2O
  tidal volume         540 mL
  rate                 14 /min allow 12 to 15 /min
  inspiratory time     1.1 s
  inspiratory pause    0.2 s
  trigger              flow
  trigger sensitivity  2 L/min
  FiO2                 50 % allow 40 to 60 %

oxygen
  cylinder         230 L
  cylinders        2
  transfer         70 min
  reserve          30 min
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  35 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          5 L/min
  high minute volume         12 L/min
  high rate                  30 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 6 kPa
  power loss                 on

targets
  plateau pressure  up to 28 cmH2O
  SpO2              94 to 98 %
  EtCO2             4.5 to 5.5 kPa

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge

escalation
  call "transfer consultant by telephone" when SpO2 below 92 % for 3 min or EtCO2 above 6 kPa for 3 min or peak pressure above 35 cmH2O

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 12 Fr, oxygen cylinder
  spare tube same size, spare tube one size smaller, spare circuit, capnograph, pulse oximeter
  second ventilator, battery 5 h, trial on travel ventilator

checked 2026-11-20 21:45 by "second checker, transfer nurse"

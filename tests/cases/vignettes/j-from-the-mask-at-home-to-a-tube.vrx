# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: a boy from home has a breathing tube since midnight. The order of the mask was taken along: its night, its alarms
# and its dry circuit with it.
prescription "Breathing tube in intensive care, adolescent with muscle disease and pneumonia"
  notation     1
  id           TM-0710
  revision     1
  status       active
  written      2026-11-23 01:15 by "registrar, children's intensive care"
  valid until  2026-11-30

patient
  age                    14 years 5 months
  sex                    male
  height                 158 cm
  weight                 44 kg measured 2026-11-22
  indication             "muscular dystrophy and pneumonia, breathing tube since midnight"
  diagnosis              neuromuscular
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      6.5 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb             dual
  assembly         ventilator, filter, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL, endotracheal tube
  expiratory limb  tubing 160 cm, filter
  oxygen inlet     capped
  humidification   none

settings night from 22:00 to 07:00
  mode                  A/C-PC
  PEEP                  6 cmH2O
  inspiratory pressure  20 cmH2O above ambient allow 18 to 22 cmH2O
  rate                  18 /min
  inspiratory time      1 s
  rise time             150 ms
  trigger               flow
  trigger sensitivity   1 L/min
  FiO2                  40 % allow 30 to 50 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 15 s
  high inspiratory pressure  30 cmH2O
  low SpO2                   90 %
  high SpO2                  99 %
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "children's intensive care consultant" when SpO2 below 90 % for 3 min or EtCO2 above 7 kPa for 5 min

equipment
  self-inflating bag, mask, suction, suction catheter 10 Fr

checked 2026-11-23 02:30 by "second checker, nurse in charge"

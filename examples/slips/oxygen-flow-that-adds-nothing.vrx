# Slip: the oxygen flow has its point one place too far to the left. Found by: oxygen.flow-adds-nothing
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Overnight support by tracheostomy"
  notation     1
  id           TM-1210
  revision     3
  status       active
  written      2026-11-02 09:30 by "consultant nurse, home ventilation"
  review by    2027-02-01

patient
  age          7 years
  sex          female
  height       121 cm
  weight       22.5 kg measured 2026-10-30
  indication   "congenital myopathy, nocturnal hypoventilation"
  diagnosis    neuromuscular
  hours ventilated  10 h/day
  place of care  home

airway
  interface    tracheostomy cuffed
  tube size    5.0 mm
  cuff         inflated

circuit
  limb            single with leak port
  leak port flow  22 L/min at 10 cmH2O
  assembly        ventilator, filter, tubing 180 cm, leak port, CO2 adapter 5 mL, HME 12 mL, tracheostomy tube
  oxygen inlet    in use

settings night from 21:00 to 07:00
  mode                  SIMV-PC with PS
  PEEP                  5 cmH2O
  inspiratory pressure  17 cmH2O above ambient allow 15 to 20 cmH2O
  pressure support      12 cmH2O above PEEP allow 10 to 15 cmH2O
  keep                  pressure support = inspiratory pressure - PEEP
  rate                  20 /min
  inspiratory time      1 s
  rise time             150 ms
  trigger               flow, leak-compensated

oxygen
  flow         0.05 L/min at ventilator inlet
  cylinder     460 L

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   13 cmH2O
  high inspiratory pressure  30 cmH2O
  low minute volume          2 L/min
  high minute volume         6 L/min
  high rate                  40 /min
  low SpO2                   92 %
  high SpO2                  99 %
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  total leak            14 to 40 L/min
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

titration
  raise inspiratory pressure and pressure support by 1 cmH2O every 10 min up to 20 cmH2O above ambient when EtCO2 above 6 kPa for 5 min

monitoring
  pulse oximeter, capnograph

escalation
  call "on-call home ventilation team" when SpO2 below 92 % for 5 min or EtCO2 above 7 kPa

equipment
  self-inflating bag, suction, spare tube same size, spare tube one size smaller, battery 9 h

checked 2026-11-02 16:05 by "second checker, pharmacy"

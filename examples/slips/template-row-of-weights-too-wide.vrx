# Slip: a row of the weights ends twenty kilograms too high. Found by: patient.population-weight
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Overnight support of schoolchildren with a tracheostomy"
  notation   1
  id         tracheostomy-school-night
  revision   1
  status     active
  written    2026-10-06 10:15 by "consultant, children's home ventilation"
  approved   2026-10-20 14:00 by "home ventilation guideline group"
  review by  2027-10-01

patient
  age               6 to 16 years
  sex               female or male
  weight by age
    6 to 9 years    22 to 52 kg
    9 to 12 years   26 to 46 kg
    12 to 16 years  38 to 66 kg
  indication        "sleep hypoventilation of a child with a tracheostomy who breathes unaided by day"
  diagnosis         neuromuscular or chest wall
  hours ventilated  8 to 14 h/day
  place of care     home

airway
  interface  tracheostomy cuffed
  tube size  4.5 to 6.5 mm
  cuff       inflated

circuit
  limb            single with leak port
  leak port flow  22 to 26 L/min at 10 cmH2O
  assembly        ventilator, filter, tubing 180 cm, leak port, CO2 adapter 5 mL, HME 12 mL, tracheostomy tube
  oxygen inlet    in use

settings
  mode                  SIMV-PC with PS
  PEEP                  4 to 6 cmH2O
  inspiratory pressure  15 to 20 cmH2O above ambient
  pressure support      9 to 16 cmH2O above PEEP
  keep                  pressure support = inspiratory pressure - PEEP
  rate by age
    6 to 9 years        18 to 24 /min
    9 to 12 years       16 to 22 /min
    12 to 16 years      12 to 20 /min
  inspiratory time by age
    6 to 9 years        0.7 to 1 s
    9 to 12 years       0.8 to 1 s
    12 to 16 years      0.9 to 1.2 s
  rise time             50 to 150 ms
  trigger               flow, leak-compensated

oxygen
  flow  up to 2 L/min at ventilator inlet

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   11 to 13 cmH2O  # above every PEEP, 2 or more under every peak, less than 10 under it
  high inspiratory pressure  26 to 30 cmH2O
  low minute volume by age
    6 to 9 years             1.5 to 2.5 L/min
    9 to 12 years            2 to 3 L/min
    12 to 16 years           2.5 to 3.5 L/min
  high minute volume by age
    6 to 9 years             6 to 8 L/min
    9 to 12 years            7 to 10 L/min
    12 to 16 years           9 to 14 L/min
  high rate by age
    6 to 9 years             36 to 40 /min
    9 to 12 years            34 to 38 /min
    12 to 16 years           30 to 36 /min
  low SpO2                   92 %
  high SpO2                  99 %
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  total leak            10 to 50 L/min
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

checked 2026-10-13 11:40 by "second checker, clinical engineering"

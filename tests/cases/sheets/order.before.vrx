# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Night support by mask"
  notation   1
  id         TM-9101
  revision   2
  status     active
  written    2026-11-02 09:30 by "consultant nurse, home ventilation"
  review by  2027-05-01

patient
  age     54 years
  sex     male
  height  178 cm
  weight  81 kg measured 2026-10-30

airway
  interface  tracheostomy cuffed

circuit
  limb      single with exhalation valve
  assembly  ventilator, filter, tubing 180 cm, exhalation valve, HME 30 mL, tracheostomy tube

settings night from 22:00 to 07:00
  mode                  SIMV-PC with PS
  PEEP                  5 cmH2O
  inspiratory pressure  17 cmH2O above ambient allow 15 to 20 cmH2O
  pressure support      12 cmH2O above PEEP
  rate                  15 /min
  inspiratory time      1.2 s
  trigger sensitivity   -2 cmH2O

settings day from 09:00 to 12:00
  mode          CPAP
  PEEP          7 cmH2O

oxygen
  flow       1 L/min at ventilator inlet
  cylinder   460 L
  cylinders  2

alarms
  low inspiratory pressure   11 cmH2O
  high inspiratory pressure  16 cmH2O
  high rate                  40 /min
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight

equipment
  self-inflating bag, suction

checked 2026-11-02 16:05 by "second checker, pharmacy"

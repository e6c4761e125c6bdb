prescription "Weaning from the ventilator, step by step"
  id         TM-0900
  revision   4
  status     active
  written    2026-11-20 09:00 by "registrar"
  review by  2026-12-20

patient
  age     58 years
  sex     male
  height  178 cm

airway
  interface  tracheostomy cuffed
  cuff       inflated

settings
  mode                  SIMV-PC with PS
  PEEP                  8 cmH2O
  inspiratory pressure  20 cmH2O above ambient
  pressure support      12 cmH2O above PEEP
  rate                  12 /min
  inspiratory time      1.2 s
  FiO2                  40 %

alarms
  disconnection              after 10 s
  low inspiratory pressure   15 cmH2O
  high inspiratory pressure  30 cmH2O

checked 2026-11-20 10:00 by "second checker"

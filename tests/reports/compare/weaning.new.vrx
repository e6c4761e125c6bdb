prescription "Weaning from the ventilator, step by step"
  id         TM-0900
  revision   5
  status     active
  written    2026-11-23 09:00 by "registrar"
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
  PEEP                  6 cmH2O
  inspiratory pressure  18 cmH2O above ambient
  pressure support      12 cmH2O above PEEP
  rate                  12 /min
  inspiratory time      1.2 s
  FiO2                  35 %

alarms
  disconnection              after 10 s
  low inspiratory pressure   13 cmH2O
  high inspiratory pressure  28 cmH2O

checked 2026-11-23 11:00 by "second checker"

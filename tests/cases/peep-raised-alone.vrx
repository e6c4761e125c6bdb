# packs: notation relation mode pressure timing
# PEEP was raised by two; support and peak stayed.
prescription "Overnight support by tracheostomy"
settings night from 21:00 to 07:00
  mode                  SIMV-PC with PS
  PEEP                  7 cmH2O
  inspiratory pressure  17 cmH2O above ambient
  pressure support      12 cmH2O above PEEP
  keep                  pressure support = inspiratory pressure - PEEP
  rate                  20 /min
  inspiratory time      1 s

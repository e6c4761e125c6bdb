# packs: notation relation mode pressure timing
template "Ranges that do not fit together"
settings
  mode                  SIMV-PC with PS
  PEEP                  5 cmH2O allow 4 to 8 cmH2O
  inspiratory pressure  17 cmH2O above ambient allow 15 to 20 cmH2O
  pressure support      12 cmH2O above PEEP allow 10 to 14 cmH2O
  keep                  pressure support = inspiratory pressure - PEEP
  rate                  20 /min allow 16 to 40 /min
  inspiratory time      1 s allow 0.8 to 1.4 s

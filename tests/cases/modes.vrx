# packs: notation relation mode pressure timing
template "Two modes to choose from"
settings
  mode                  A/C-PC or A/C-VC
  PEEP                  5 cmH2O
  inspiratory pressure  15 cmH2O above ambient
  inspiratory time      1 s
  rate                  12 /min
  cycle-off             25 %
back-up after apnoea 15 s
  rate 12 /min

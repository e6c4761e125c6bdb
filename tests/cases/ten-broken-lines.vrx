# packs: notation relation mode pressure timing
prescription "A busy night"
settings
  mode SIMV-PC
  PEEP 5
  inspiratory pressure 17 cmH2O
  inspiratory tmie 1 s
  rise time 150ms
  trigger flwo
  inspiratory flow 40-60 L/min
  FiO2 40
  rate 20 bpm
  tidal volume 4,50 mL
  volume target 45O mL
  cycle-off 25 %

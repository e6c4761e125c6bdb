# packs: notation relation mode pressure timing
prescription "Relations of every kind"
settings day from 07:00 to 21:00
  PEEP 4 to 8 cmH2O
  rate 10 to 20 /min
  keep rate > 30 /min
  keep PEEP > 2 cmH2O
  keep PEEEP > 2 cmH2O
settings night from 21:00 to 07:00
  PEEP 5 cmH2O
  inspiratory pressure 12 cmH2O above ambient
  keep inspiratory pressure = PEEP + pressure support
  keep pressure support = supported peak - PEEP

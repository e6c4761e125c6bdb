# packs: notation relation mode pressure timing; coverage
prescription "Nothing to say"
settings
  mode CPAP
  PEEP 6 cmH2O

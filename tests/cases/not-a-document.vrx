# packs: notation
settings
  PEEP 5 cmH2O
prescription "late"
  notation 1
prescription "later"

prescription "x"
  id TM-9103
settings
  PEEP 5 cmH2O ÿþ

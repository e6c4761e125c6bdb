# packs: notation relation mode pressure timing
template "Tables by age"
patient
  age 2 to 8 years
settings
  mode A/C-PC
  PEEP 5 cmH2O
  inspiratory pressure 15 cmH2O above ambient
  inspiratory time by age
    1 to 3 years  0.7 s
    3 to 6 years  0.8 to 1 s
    6 years and over  1 to 1.4 s
  rate by age
    1 to 3 years  22 to 30 /min
    3 to 6 years  20 to 32 /min
    6 to 12 years  16 to 45 /min

# packs: notation relation mode pressure timing
prescription "Periods"
patient
  hours ventilated 20 h/day
settings night from 21:00 to 07:00
  mode CPAP
  PEEP 5 cmH2O
settings day from 06:30 to 12:00 and 25:00 to 26:00
  mode CPAP
  PEEP 6 cmH2O
alarms night
  low rate off

# packs: notation pressure timing reading
prescription "Read from the running ventilator"
settings
  mode A/C-VC
  PEEP 5 cmH2O
  tidal volume 420 mL
  rate 16 /min
  inspiratory time 1 s
readings at 2026-11-02 21:30 by "night nurse"
  plateau pressure 34 cmH2O
  total PEEP 9 cmH2O
readings at 2026-11-03 06:30 by "night nurse"
  plateau pressure 24 cmH2O
  total PEEP 5 cmH2O
  SpO2 95

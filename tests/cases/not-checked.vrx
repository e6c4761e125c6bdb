# packs: notation mode pressure timing; coverage
# Lines that can't be read or told: what needs them is not checked, and says so.
prescription "Not checked"
settings
  mode A/C-PC
  PEEP 5
  inspiratory pressure 15 cmH2O above ambient
  raet 20 /min
  inspiratory time 1 s
  inspiratory time 1.2 s

# packs: notation
prescription "Headings"
settigns
  PEEP 5 cmH2O
patient
  age 7 years
airway
  PEEP 5 cmH2O
checked 2026-11-02 16:05 by "second checker, pharmacy"
  PEEP 5 cmH2O
inspiratory time 1 s

template "A protocol | with `marks` and a ![picture](https://example.invalid/x.png)"
  id        tarn-trial
  revision  5
  status    active
  written   2026-11-01 09:00 by "protocol group"

patient
  age  1 to 12 years

circuit
  assembly  ventilator, filter, tubing 180 cm, leak port, HME 12 mL

settings
  mode                  A/C-PC
  PEEP                  5 cmH2O allow 4 to 8 cmH2O
  inspiratory pressure  12 to 15 cmH2O above PEEP
  rate by age
    1 to 3 years   22 to 30 /min
    3 to 6 years   20 to 25 /min
    6 to 12 years  18 to 22 /min
  inspiratory time      0.7 to 1 s

escalation
  call "<b>@everybody</b> [link](https://example.invalid)" when SpO2 below 90 %

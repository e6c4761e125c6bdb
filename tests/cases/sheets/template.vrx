# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Support by tube, by age"
  notation  1
  id        tube-by-age
  revision  2
  status    draft

patient
  age     1 to 12 years
  weight  10 to 40 kg

settings
  mode              A/C-VC
  PEEP              5 to 8 cmH2O
  tidal volume      7 mL/kg of measured weight
  inspiratory time  0.8 s
  rate by age
    1 to 3 years    24 /min
    3 to 12 years   20 /min

alarms
  apnoea                     after 15 s
  high inspiratory pressure  30 cmH2O
  high rate                  50 /min

titration
  raise PEEP by 1 cmH2O every 30 min up to 8 cmH2O when SpO2 below 92 % for 5 min

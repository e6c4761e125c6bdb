# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Night support by nasal mask in neuromuscular weakness"
  notation   1
  id         neuromuscular-night
  revision   6
  status     active
  written    2026-10-08 09:00 by "consultant nurse, home ventilation"
  approved   2026-10-20 14:30 by "home ventilation guideline group"
  review by  2027-10-01

patient
  age                    at least 6 years
  sex                    female or male
  indication             "sleep hypoventilation in neuromuscular weakness"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       6 to 12 h/day
  unaided up to          at least 6 h
  spontaneous breathing  present

airway
  interface  nasal mask non-vented

circuit
  limb            single with leak port
  leak port flow  28 to 36 L/min at 10 cmH2O
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, leak port, nasal mask
  oxygen inlet    capped
  humidification  heated humidifier

settings
  mode                             S/T-PS
  EPAP                             4 to 5 cmH2O
  IPAP by age
    6 to 12 years                  12 to 16 cmH2O
    12 to 18 years                 12 to 18 cmH2O
    18 years and over              12 to 20 cmH2O
  back-up rate by age
    6 to 12 years                  18 to 20 /min
    12 to 18 years                 16 to 18 /min
    18 years and over              14 to 16 /min
  inspiratory time by age
    6 to 12 years                  0.8 to 1 s
    12 to 18 years                 1 to 1.2 s
    18 years and over              1.2 to 1.5 s
  minimum inspiratory time         0.5 to 0.8 s
  maximum inspiratory time by age
    6 to 12 years                  1.1 to 1.2 s
    12 to 18 years                 1.3 to 1.4 s
    18 years and over              1.6 to 1.7 s
  rise time                        150 to 250 ms
  trigger                          flow, leak-compensated
  trigger sensitivity              0.5 to 1 L/min
  cycle-off                        20 to 30 %

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  low inspiratory pressure   8 to 10 cmH2O
  high inspiratory pressure  25 cmH2O
  low minute volume by age
    6 to 12 years            1.5 to 2.5 L/min
    12 to 18 years           2.5 to 3.5 L/min
    18 years and over        3 to 4 L/min
  high minute volume by age
    6 to 12 years            8 to 10 L/min
    12 to 18 years           12 to 15 L/min
    18 years and over        14 to 18 L/min
  high rate by age
    6 to 12 years            36 to 40 /min
    12 to 18 years           34 to 36 /min
    18 years and over        32 to 35 /min
  low SpO2                   90 %
  power loss                 on

targets
  total leak  20 to 55 L/min
  SpO2        94 to 98 %
  PaCO2       4.7 to 6 kPa

monitoring
  pulse oximeter, transcutaneous CO2

escalation
  call "home ventilation nurse on call" when SpO2 below 90 % for 10 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, insufflation-exsufflation device, spare mask, spare circuit

checked 2026-10-15 10:20 by "second checker, physiotherapy"

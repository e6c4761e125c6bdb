# Slip: the name of a period has two letters swapped. Found by: mode.period-misspelt
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "A section for a period that is misspelt"
  notation   1
  id         TM-1085
  revision   4
  status     active
  written    2026-10-28 11:30 by "consultant nurse, home ventilation"
  review by  2027-04-30

patient
  age                    15 years 8 months
  sex                    male
  height                 160 cm
  weight                 47 kg measured 2026-10-28
  indication             "muscular dystrophy, hypoventilation asleep and tired by the evening"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       12 h/day
  unaided up to          8 h
  secretions             thin
  spontaneous breathing  present

airway night
  interface  nasal mask non-vented

airway as needed
  interface  mouthpiece

circuit night
  limb            single with leak port
  leak port flow  32 L/min at 10 cmH2O
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, leak port, nasal mask
  oxygen inlet    capped
  humidification  heated humidifier

circuit as needed
  limb            single with exhalation valve
  assembly        ventilator, filter, tubing 180 cm, exhalation valve, mouthpiece
  oxygen inlet    capped
  humidification  none

settings night from 22:00 to 07:00
  mode                      S/T-PS
  EPAP                      5 cmH2O
  IPAP                      16 cmH2O allow 14 to 18 cmH2O in steps of 1 cmH2O
  back-up rate              16 /min
  inspiratory time          1.1 s
  minimum inspiratory time  0.8 s
  maximum inspiratory time  1.4 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 25 %

settings as needed up to 3 h/day
  mode                  A/C-PC
  PEEP                  0 cmH2O
  inspiratory pressure  14 cmH2O above ambient allow 12 to 16 cmH2O
  rate                  14 /min
  inspiratory time      1.1 s
  rise time             150 ms
  trigger               flow
  trigger sensitivity   1 L/min

alarms
  high inspiratory pressure  25 cmH2O
  high rate                  35 /min
  power loss                 on

alarms night
  disconnection             after 15 s
  apnoea                    after 20 s
  low inspiratory pressure  10 cmH2O
  low minute volume         2.5 L/min
  high minute volume        14 L/min
  low SpO2                  90 %

alarms as needed
  disconnection             off because "the mouthpiece leaves the lips between breaths"
  apnoea                    off because "breaths are taken when wanted"
  low inspiratory pressure  off because "the mouthpiece leaves the lips between breaths"
  low minute volume         off because "breaths are taken when wanted"
  low SpO2                  off because "awake with a carer; the oximeter is worn at night"

targets
  SpO2   94 to 98 %
  PaCO2  4.7 to 6 kPa

targets nigth
  total leak  25 to 50 L/min

monitoring night
  pulse oximeter, leak monitor

escalation
  call "home ventilation nurse on call" when SpO2 below 90 % for 10 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, insufflation-exsufflation device, spare mask, spare circuit, battery 9 h

checked 2026-10-28 15:10 by "second checker, physiotherapy"

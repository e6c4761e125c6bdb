# Slip: the mouthpiece was given the PEEP of the mask. Found by: pressure.mouthpiece-baseline
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Mouthpiece by day and nasal mask at night, adult who depends on support"
  notation   1
  id         TM-1218
  revision   6
  status     active
  written    2026-10-21 13:30 by "consultant nurse, home ventilation"
  review by  2027-04-21

patient
  age                    38 years
  sex                    male
  height                 169 cm
  weight                 58 kg measured 2026-10-21
  indication             "muscular dystrophy, breathes unaided for a short meal only"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       22 h/day
  unaided up to          1 h
  secretions             thin
  spontaneous breathing  weak

airway night
  interface  nasal mask non-vented

airway as needed
  interface  mouthpiece

circuit
  limb          single with exhalation valve
  oxygen inlet  capped

circuit night
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, exhalation valve, nasal mask
  humidification  heated humidifier

circuit as needed
  assembly        ventilator, filter, tubing 180 cm, exhalation valve, mouthpiece
  humidification  none

settings night from 22:00 to 08:00
  mode                      S/T-PS
  EPAP                      4 cmH2O
  IPAP                      18 cmH2O allow 16 to 20 cmH2O in steps of 1 cmH2O
  back-up rate              15 /min
  inspiratory time          1.2 s
  minimum inspiratory time  0.8 s
  maximum inspiratory time  1.5 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 25 %

settings as needed up to 12 h/day
  mode                 A/C-VC
  PEEP                 4 cmH2O
  tidal volume         600 mL allow 500 to 650 mL
  rate                 12 /min
  inspiratory time     1.2 s
  trigger              flow
  trigger sensitivity  1 L/min

alarms
  high rate   35 /min
  power loss  on

alarms night
  disconnection              after 15 s
  apnoea                     after 20 s
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  30 cmH2O
  low minute volume          3.5 L/min
  high minute volume         15 L/min
  low SpO2                   90 %

alarms as needed
  high inspiratory pressure  40 cmH2O
  disconnection              off because "the mouthpiece leaves the lips between breaths"
  apnoea                     off because "breaths are taken when wanted"
  low minute volume          off because "breaths are taken when wanted"
  low SpO2                   off because "awake with a carer; the oximeter is worn at night"

targets
  SpO2   94 to 98 %
  PaCO2  4.7 to 6 kPa

monitoring night
  pulse oximeter, transcutaneous CO2

escalation
  call "home ventilation nurse on call" when SpO2 below 90 % for 10 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, battery suction, insufflation-exsufflation device, spare mask, spare circuit
  second ventilator, battery 6 h, external battery 6 h

checked 2026-10-21 15:20 by "second checker, physiotherapy"

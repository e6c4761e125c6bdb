# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: the same order, copied once more: the reasons of the day have been copied into the night.
prescription "Mouthpiece at the desk and mask at night, man with muscle disease"
  notation   1
  id         TM-0704
  revision   4
  status     active
  written    2026-11-10 14:10 by "consultant nurse, home ventilation"
  review by  2027-05-10

patient
  age                    27 years
  sex                    male
  height                 171 cm
  weight                 54 kg measured 2026-11-10
  indication             "muscular dystrophy, works from home, sips breaths through the day"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       18 h/day
  unaided up to          3 h
  secretions             thin
  spontaneous breathing  present

airway night
  interface  oronasal mask non-vented

airway as needed
  interface  mouthpiece

circuit night
  limb            single with exhalation valve
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, exhalation valve, anti-asphyxia valve, oronasal mask
  oxygen inlet    capped
  humidification  heated humidifier

circuit as needed
  limb            single with exhalation valve
  assembly        ventilator, filter, tubing 180 cm, exhalation valve, mouthpiece
  oxygen inlet    capped
  humidification  none

settings night from 22:30 to 07:30
  mode                      S/T-PS
  EPAP                      5 cmH2O
  IPAP                      17 cmH2O allow 15 to 19 cmH2O in steps of 1 cmH2O
  back-up rate              15 /min
  inspiratory time          1.2 s
  minimum inspiratory time  0.8 s
  maximum inspiratory time  1.5 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 25 %

settings as needed up to 9 h/day
  mode                 A/C-VC
  PEEP                 0 cmH2O
  tidal volume         650 mL allow 550 to 700 mL
  rate                 12 /min
  inspiratory time     1.3 s
  trigger              flow
  trigger sensitivity  1 L/min

alarms
  high rate   35 /min
  power loss  on

alarms night
  disconnection              off because "the mouthpiece leaves the lips between breaths"
  apnoea                     off because "breaths are taken when wanted"
  low inspiratory pressure   10 cmH2O
  low minute volume          off because "breaths are taken when wanted"
  high minute volume         14 L/min
  low SpO2                   90 %
  high inspiratory pressure  28 cmH2O

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

checked 2026-11-11 09:40 by "second checker, physiotherapy"

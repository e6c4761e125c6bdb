# Invented: a fifteen-year-old with Duchenne muscular dystrophy, nasal mask at night, mouthpiece by day as needed, at home.
# Day settings after Pinto T et al., Chron Respir Dis 2017;14:187-93 (mouthpiece: volume 0.7 to 1.5 L, no PEEP; from memory). The volume is large on purpose:
# he takes as much of each breath as he likes and lets the rest go. Night after Berry RB et al., J Clin Sleep Med 2010;6:491-509.
prescription "Nasal mask at night, mouthpiece by day, adolescent"
  notation   1
  id         TM-4113
  revision   5
  status     active
  replaces   TM-4113 revision 4
  written    2026-11-10 11:10 by "consultant, home ventilation"
  review by  2027-03-10

patient
  age                    15 years 6 months
  sex                    male
  arm span               166 cm
  weight                 48 kg measured 2026-11-10
  indication             "Duchenne muscular dystrophy, hypercapnia by day and night"
  diagnosis              neuromuscular
  hypercapnia risk       yes
  place of care          home
  hours ventilated       15.5 h/day
  unaided up to          5 h
  secretions             thin
  spontaneous breathing  weak

airway night from 21:30 to 07:00
  interface  nasal mask vented

airway as needed up to 6 h/day
  interface  mouthpiece non-vented

circuit night
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, nasal mask
  leak port flow          28 L/min at 10 cmH2O
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  31 degC

circuit as needed up to 6 h/day
  limb            single with exhalation valve
  assembly        ventilator, filter, tubing 150 cm, exhalation valve, mouthpiece
  oxygen inlet    capped
  humidification  none

settings night from 21:30 to 07:00
  mode                      S/T-PS
  EPAP                      4 cmH2O
  IPAP                      16 cmH2O allow 14 to 18 cmH2O in steps of 1 cmH2O
  back-up rate              14 /min
  inspiratory time          1.30 s
  minimum inspiratory time  1.00 s
  maximum inspiratory time  1.60 s
  rise time                 300 ms
  trigger                   flow, leak-compensated
  cycle-off                 20 %

settings as needed up to 6 h/day
  mode                 A/C-VC
  PEEP                 0 cmH2O
  tidal volume         800 mL allow 700 to 1000 mL in steps of 50 mL
  rate                 12 /min
  inspiratory time     1.30 s
  trigger              pressure
  trigger sensitivity  -1 cmH2O

alarms
  power loss  on

alarms night
  disconnection              after 15 s
  apnoea                     after 20 s
  low inspiratory pressure   9 cmH2O after 15 s
  high inspiratory pressure  28 cmH2O
  low minute volume          3.5 L/min after 30 s
  high leak                  60 L/min after 30 s
  high rate                  35 /min
  low SpO2                   88 % after 15 s

alarms as needed up to 6 h/day
  disconnection              off because "the mouthpiece is left open between breaths; awake, and a carer is within earshot"
  apnoea                     off because "he takes breaths when he wants them; awake, and a carer is within earshot"
  high inspiratory pressure  50 cmH2O

targets
  SpO2   at least 94 %
  PaCO2  4.7 to 6 kPa

monitoring
  pulse oximeter

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, insufflation-exsufflation device, spare mask, spare circuit
  battery 4 h, external battery 8 h, second ventilator, pulse oximeter

escalation
  call "on-call home ventilation team" when SpO2 below 90 % for 15 min
  ceiling "full treatment by mask, tracheostomy not wished for now"

checked 2026-11-10 15:30 by "specialist physiotherapist, home ventilation"

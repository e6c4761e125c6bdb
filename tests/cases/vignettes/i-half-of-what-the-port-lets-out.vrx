# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: she is drowsy at breakfast, and the screen shows 15 L/min of leak. The port alone would let out twice that.
prescription "Night mask support, woman with obesity hypoventilation"
  notation   1
  id         TM-0709
  revision   2
  status     active
  written    2026-11-12 11:00 by "consultant nurse, home ventilation"
  review by  2027-05-12

patient
  age                    59 years
  sex                    female
  height                 162 cm
  weight                 112 kg measured 2026-11-12
  indication             "obesity hypoventilation, drowsy by day"
  diagnosis              obesity hypoventilation
  hypercapnia risk       yes
  place of care          home
  hours ventilated       8 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface  oronasal mask non-vented

circuit
  limb            single with leak port
  leak port flow  29 L/min at 10 cmH2O
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, leak port, anti-asphyxia valve, oronasal mask
  oxygen inlet    capped
  humidification  heated humidifier

settings night from 22:30 to 06:30
  mode                      S/T-PS
  EPAP                      8 cmH2O
  IPAP                      20 cmH2O allow 18 to 22 cmH2O in steps of 1 cmH2O
  back-up rate              14 /min
  inspiratory time          1.2 s
  minimum inspiratory time  0.8 s
  maximum inspiratory time  1.6 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1.5 L/min
  cycle-off                 25 %

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  low inspiratory pressure   13 cmH2O
  high inspiratory pressure  32 cmH2O
  low minute volume          3.5 L/min
  high minute volume         15 L/min
  high rate                  35 /min
  low SpO2                   84 %
  power loss                 on

targets
  SpO2   88 to 92 %
  PaCO2  5 to 6.5 kPa

monitoring
  pulse oximeter, leak monitor, transcutaneous CO2

escalation
  call "home ventilation nurse on call" when SpO2 below 85 % for 10 min

equipment
  self-inflating bag, mask, battery 9 h

readings after change at 2026-11-19 05:45 by "home ventilation nurse"
  rate                  15 /min
  expired tidal volume  440 mL
  total leak            15 L/min
  SpO2                  90 %

checked 2026-11-13 10:15 by "second checker, respiratory physiology"

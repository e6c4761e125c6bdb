# Slip: the year of the readings is wrong. Found by: reading.ahead
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Night support by nasal mask, adult with motor neurone disease"
  notation   1
  id         TM-1221
  revision   2
  status     active
  written    2026-11-05 10:10 by "consultant nurse, home ventilation"
  review by  2027-02-12

patient
  age                    59 years
  sex                    female
  height                 164 cm
  weight                 61 kg measured 2026-11-05
  indication             "motor neurone disease, morning headache, raised carbon dioxide by night"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       9 h/day
  unaided up to          12 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  nasal mask non-vented

circuit
  limb            single with leak port
  leak port flow  32 L/min at 10 cmH2O
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, leak port, nasal mask
  oxygen inlet    capped
  humidification  heated humidifier

settings night from 22:30 to 07:30
  mode                      S/T-PS
  EPAP                      4 cmH2O
  IPAP                      16 cmH2O allow 14 to 20 cmH2O in steps of 1 cmH2O
  back-up rate              14 /min allow 14 to 16 /min
  inspiratory time          1.3 s
  minimum inspiratory time  0.8 s
  maximum inspiratory time  1.6 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 25 %

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  25 cmH2O
  low minute volume          3.5 L/min
  high minute volume         15 L/min
  high rate                  34 /min
  low SpO2                   90 %
  power loss                 on

targets
  total leak  20 to 55 L/min
  SpO2        94 to 98 %
  PaCO2       4.7 to 6 kPa

titration
  raise IPAP by 1 cmH2O every 20 min up to 20 cmH2O above ambient when SpO2 below 94 % for 20 min

monitoring
  pulse oximeter, transcutaneous CO2

escalation
  call "home ventilation nurse on call" when SpO2 below 90 % for 10 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, insufflation-exsufflation device, spare mask, spare circuit

readings after change at 2027-11-06 06:40 by "sleep physiologist"
  expired tidal volume  420 mL
  rate                  16 /min
  minute volume         6.7 L/min
  peak pressure         16 cmH2O
  PEEP                  4 cmH2O
  total leak            31 L/min
  SpO2                  95 %

checked 2026-11-06 11:00 by "second checker, physiotherapy"

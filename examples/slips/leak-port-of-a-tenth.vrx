# Slip: the leak port's flow has lost a digit. Found by: circuit.port-flow-low
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Night support by nasal mask, adult with a curved spine"
  notation   1
  id         TM-1219
  revision   3
  status     active
  written    2026-11-05 10:10 by "consultant nurse, home ventilation"
  review by  2027-02-12

patient
  age                    47 years
  sex                    female
  height                 158 cm
  weight                 55 kg measured 2026-11-05
  indication             "curved spine, raised carbon dioxide by night"
  diagnosis              chest wall
  place of care          home
  hours ventilated       9 h/day
  unaided up to          12 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  nasal mask non-vented

circuit
  limb            single with leak port
  leak port flow  3.2 L/min at 10 cmH2O
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, leak port, nasal mask
  oxygen inlet    capped
  humidification  heated humidifier

settings night from 22:30 to 07:30
  mode                      S/T-PS
  EPAP                      5 cmH2O
  IPAP                      18 cmH2O allow 16 to 20 cmH2O in steps of 1 cmH2O
  pressure support          13 cmH2O above PEEP allow 11 to 15 cmH2O  # what the ventilator shows
  keep                      pressure support = IPAP - EPAP
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
  low inspiratory pressure   11 cmH2O
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
  raise IPAP and pressure support by 1 cmH2O every 20 min up to 20 cmH2O above ambient when SpO2 below 94 % for 20 min

monitoring
  pulse oximeter, transcutaneous CO2

escalation
  call "home ventilation nurse on call" when SpO2 below 90 % for 10 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, insufflation-exsufflation device, spare mask, spare circuit

checked 2026-11-06 11:00 by "second checker, physiotherapy"

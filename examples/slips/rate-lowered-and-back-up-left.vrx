# Slip: the rate was lowered by four, and the back-up rate was left. Found by: timing.back-up-rate
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Support at night by tracheostomy, man with a curved spine"
  notation     1
  id           TM-0990
  revision     1
  status       active
  written      2026-11-19 11:15 by "registrar, respiratory ward"
  valid until  2026-12-03

patient
  age                    62 years
  sex                    male
  height                 166 cm
  weight                 67 kg measured 2026-11-18
  indication             "curved spine, hypoventilation asleep after a long stay in intensive care"
  diagnosis              chest wall
  hypercapnia risk       no
  place of care          ward
  hours ventilated       10 h/day
  unaided up to          16 h
  secretions             thin
  spontaneous breathing  present

airway
  interface      tracheostomy cuffed
  tube size      7.5 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb                    single with leak port
  leak port flow          26 L/min at 10 cmH2O
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, leak port, CO2 adapter 5 mL, tracheostomy tube
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings night from 21:30 to 07:30
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  18 cmH2O above ambient
  rate                  12 /min
  back-up rate          16 /min
  inspiratory time      1.2 s
  rise time             150 ms
  trigger               flow, leak-compensated
  trigger sensitivity   1 L/min

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   11 cmH2O
  high inspiratory pressure  30 cmH2O
  low minute volume          4 L/min
  high minute volume         15 L/min
  high rate                  35 /min
  high leak                  60 L/min
  low SpO2                   90 %
  power loss                 on

targets
  total leak  18 to 50 L/min
  SpO2        92 to 97 %
  EtCO2       4.7 to 6.2 kPa

monitoring
  pulse oximeter, capnograph, cuff pressure gauge

escalation
  call "respiratory registrar" when SpO2 below 90 % for 5 min or EtCO2 above 7 kPa for 10 min

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit, spare circuit, battery 9 h

checked 2026-11-19 12:40 by "second checker, nurse in charge"

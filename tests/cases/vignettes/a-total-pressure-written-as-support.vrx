# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: a girl had 18 cmH2O in all. On the new ventilator the same number went into the line for support above PEEP;
# what she falls back to was carried over as it was.
prescription "Support by tracheostomy on a new ventilator, girl of eight"
  notation   1
  id         TM-0701
  revision   2
  status     active
  written    2026-11-16 10:20 by "registrar, children's respiratory ward"
  review by  2027-01-15

patient
  age                    8 years 2 months
  sex                    female
  height                 126 cm
  weight                 24 kg measured 2026-11-14
  indication             "congenital myopathy, hypoventilation asleep"
  diagnosis              neuromuscular
  hypercapnia risk       no
  place of care          ward
  hours ventilated       12 h/day
  unaided up to          6 h
  secretions             thin
  spontaneous breathing  present

airway
  interface      tracheostomy cuffed
  tube size      5.0 mm
  cuff           inflated
  cuff pressure  20 cmH2O

circuit
  limb                    single with exhalation valve
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, exhalation valve, CO2 adapter 4 mL, tracheostomy tube
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings night from 20:00 to 08:00
  mode                      CSV-PS
  PEEP                      6 cmH2O
  pressure support          18 cmH2O above PEEP
  minimum inspiratory time  0.6 s
  maximum inspiratory time  1.1 s
  rise time                 150 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       0.8 L/min
  cycle-off                 25 %

back-up after apnoea 15 s night
  inspiratory pressure  18 cmH2O above ambient
  rate                  18 /min
  inspiratory time      0.9 s

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   14 cmH2O
  high inspiratory pressure  32 cmH2O
  low minute volume          2 L/min
  high minute volume         6 L/min
  high rate                  40 /min
  low SpO2                   92 %
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, cuff pressure gauge

escalation
  call "children's respiratory registrar" when SpO2 below 92 % for 5 min or EtCO2 above 7 kPa for 5 min

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 10 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit, battery 6 h, spare circuit

checked 2026-11-16 14:00 by "second checker, children's pharmacy"

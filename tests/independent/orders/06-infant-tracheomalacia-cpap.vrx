# Invented: a toddler with severe tracheomalacia, CPAP through a tracheostomy while asleep, on the ward before discharge.
# Settings: common practice, no published source (CPAP 8 to 12 cmH2O to splint the trachea).
prescription "CPAP through a tracheostomy while asleep, tracheomalacia"
  notation   1
  id         TM-4106
  revision   1
  status     active
  written    2026-11-18 10:20 by "consultant, paediatric respiratory medicine"
  review by  2026-12-18

patient
  age                    14 months
  sex                    male
  length                 78 cm
  weight                 10 kg measured 2026-11-17
  indication             "severe tracheomalacia, collapse when asleep"
  diagnosis              tracheomalacia
  place of care          ward
  hours ventilated       13 h/day
  unaided up to          8 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  tracheostomy uncuffed
  tube size  4.0 mm

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, tracheostomy tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings asleep
  mode  CPAP
  PEEP  10 cmH2O allow 8 to 12 cmH2O in steps of 1 cmH2O
  FiO2  0.21

back-up after apnoea 15 s
  inspiratory pressure  12 cmH2O above PEEP
  rate                  24 /min
  inspiratory time      0.70 s

oxygen
  pre-oxygenation  100 % for 30 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low PEEP                   6 cmH2O after 5 s
  high inspiratory pressure  30 cmH2O
  low minute volume          0.9 L/min
  low tidal volume           35 mL
  high rate                  55 /min
  low SpO2                   91 % after 10 s

targets
  SpO2  at least 94 %

monitoring
  pulse oximeter, transcutaneous CO2, expired volume monitor

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 8 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit, battery 4 h, external battery 8 h, second ventilator, spare circuit, oxygen cylinder 340 L

escalation
  call "paediatric registrar on call" when SpO2 below 91 % for 5 min or spontaneous rate above 50 /min for 15 min
  ceiling "full treatment"

checked 2026-11-18 13:00 by "ward sister, paediatrics"

# Invented: a man with a tracheostomy after a long illness, rest at night, growing time off on a humidified tracheostomy mask by day.
# Time off on a tracheostomy mask after Jubran A et al., JAMA 2013;309:671-7 (12 h by day, ventilated at night; from memory). Predicted weight 69.7 kg.
prescription "Tracheostomy weaning, time off by day, rest at night"
  notation   1
  id         TM-4132
  revision   3
  status     active
  replaces   TM-4132 revision 2
  written    2026-11-20 09:00 by "intensive care consultant"
  review by  2026-11-27

patient
  age                    70 years
  sex                    male
  height                 174 cm
  weight                 72 kg measured 2026-11-18
  indication             "prolonged weaning after septic shock"
  diagnosis              other
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       20 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface      tracheostomy cuffed
  tube size      8.0 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter 5 mL, closed suction, tracheostomy tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings night from 20:00 to 08:00
  mode                  A/C-PC
  inspiratory pressure  14 cmH2O above PEEP
  PEEP                  5 cmH2O
  rate                  14 /min
  inspiratory time      1.10 s
  rise time             150 ms
  trigger               flow
  trigger sensitivity   2 L/min
  FiO2                  0.3

settings day from 08:00 to 20:00
  mode                      CSV-PS
  pressure support          10 cmH2O above PEEP allow 8 to 12 cmH2O in steps of 1 cmH2O
  PEEP                      5 cmH2O
  rise time                 150 ms
  trigger                   flow
  trigger sensitivity       2 L/min
  cycle-off                 25 %
  maximum inspiratory time  1.50 s
  FiO2                      0.3

back-up after apnoea 20 s day
  inspiratory pressure  14 cmH2O above PEEP
  rate                  14 /min
  inspiratory time      1.10 s

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  32 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          4.5 L/min
  high minute volume         15 L/min
  low tidal volume           270 mL
  high tidal volume          800 mL
  high rate                  35 /min after 30 s
  low SpO2                   90 % after 15 s
  high SpO2                  99 % after 60 s
  high EtCO2                 7 kPa after 60 s

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  SpO2                  92 to 97 %
  PaCO2                 4.7 to 6.3 kPa

off ventilator
  2 h 2 times/day on tracheostomy mask
  extend by 30 min every day up to 6 h
  stop when spontaneous rate above 35 /min for 5 min or SpO2 below 90 % for 2 min or heart rate above 130 /min
  return to day

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, expired volume monitor, cuff pressure gauge

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller, tracheostomy emergency kit, battery 30 min

escalation
  call "intensive care registrar" when SpO2 below 90 % for 5 min or spontaneous rate above 35 /min for 10 min
  ceiling "full treatment"
  gases at 4 h

checked 2026-11-20 09:40 by "weaning nurse specialist"

# Slip: the time off the ventilator has lost a digit. Found by: weaning.stage-short
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Weaning by tracheostomy, adult recovering from a nerve disease"
  notation   1
  id         TM-1223
  revision   5
  status     active
  written    2026-11-17 10:00 by "consultant, intensive care"
  review by  2027-01-18

patient
  age                    58 years
  sex                    male
  height                 178 cm
  weight                 79 kg measured 2026-11-13
  indication             "polyneuropathy, strength returning, second month of ventilation"
  diagnosis              neuromuscular
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface      tracheostomy cuffed
  tube size      8.0 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL,
                          tracheostomy tube
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings night from 22:00 to 07:00
  mode                  A/C-PC
  PEEP                  6 cmH2O
  inspiratory pressure  18 cmH2O above ambient allow 16 to 20 cmH2O
  rate                  14 /min
  inspiratory time      1.1 s
  rise time             150 ms
  trigger               flow
  trigger sensitivity   1 L/min
  FiO2                  25 % allow 21 to 35 %

settings day from 07:00 to 22:00
  mode                 CSV-PS
  PEEP                 6 cmH2O
  pressure support     12 cmH2O above PEEP allow 10 to 14 cmH2O
  rise time            150 ms
  trigger              flow
  trigger sensitivity  1 L/min
  cycle-off            25 %
  FiO2                 25 % allow 21 to 35 %

back-up after apnoea 15 s day
  inspiratory pressure  18 cmH2O above ambient
  rate                  14 /min
  inspiratory time      1.1 s

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   12 cmH2O
  high inspiratory pressure  28 cmH2O
  low PEEP                   4 cmH2O
  low minute volume          4 L/min
  high minute volume         15 L/min
  high rate                  35 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

off ventilator day
  3 min 2 times/day on tracheostomy mask
  extend by 30 min every day up to 4 h
  stop when spontaneous rate above 30 /min for 5 min or SpO2 below 92 % for 2 min or heart rate above 120 /min for 5 min
  return to day

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 4 h and 12 h
  call "intensive care consultant" when SpO2 below 92 % for 5 min or EtCO2 above 7 kPa for 10 min

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit

checked 2026-11-17 12:20 by "second checker, physiotherapy"

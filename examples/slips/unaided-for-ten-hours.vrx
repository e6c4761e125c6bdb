# Slip: the safe time unaided has a zero too many. Found by: patient.unaided-long
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Ventilation by tracheostomy with the cuff down, adult with muscle disease"
  notation   1
  id         TM-1203
  revision   4
  status     active
  written    2026-11-17 10:00 by "consultant, intensive care"
  review by  2027-01-18

patient
  age                    51 years
  sex                    female
  height                 165 cm
  weight                 59 kg measured 2026-11-13
  indication             "muscle disease, second month of ventilation, speaks with the cuff down"
  diagnosis              neuromuscular
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  unaided up to          10 h
  secretions             thin
  spontaneous breathing  weak

airway
  interface      tracheostomy cuffed
  tube size      7.0 mm
  cuff           deflated
  cuff pressure  0 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL,
                          tracheostomy tube
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                 A/C-VC
  PEEP                 5 cmH2O
  tidal volume         560 mL  # part of it is for speech and leaves by the mouth
  rate                 14 /min
  inspiratory time     1.1 s
  trigger              flow, leak-compensated
  trigger sensitivity  1 L/min
  FiO2                 25 % allow 21 to 35 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   12 cmH2O
  high inspiratory pressure  34 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          4 L/min
  high minute volume         15 L/min
  high rate                  35 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa
  power loss                 on

targets
  unintentional leak  5 to 20 L/min
  SpO2                94 to 98 %
  EtCO2               4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 4 h and 12 h
  call "intensive care consultant" when SpO2 below 92 % for 5 min or EtCO2 above 7 kPa for 10 min

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit

checked 2026-11-18 12:20 by "second checker, physiotherapy"

# Slip: the mode was meant for a patient who takes no breath. Found by: patient.breath-not-answered
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Ventilation day and night by tracheostomy, adult with a high cord injury"
  notation   1
  id         TM-1207
  revision   2
  status     active
  written    2026-11-10 11:20 by "consultant, spinal injuries"
  review by  2027-01-18

patient
  age                    34 years
  sex                    male
  height                 180 cm
  weight                 74 kg measured 2026-11-09
  indication             "injury of the cord at the second vertebra of the neck, takes no breath"
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

settings
  mode               CMV-VC
  PEEP               6 cmH2O
  tidal volume       600 mL
  rate               12 /min
  inspiratory time   1.2 s
  inspiratory pause  0.2 s
  trigger            none  # no breath is the patient's own
  FiO2               25 % allow 21 to 35 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   11 cmH2O
  high inspiratory pressure  35 cmH2O
  low PEEP                   4 cmH2O
  low minute volume          5 L/min
  high minute volume         11 L/min
  high rate                  20 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa
  power loss                 on

targets
  expired tidal volume  540 to 620 mL
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 4 h and 12 h
  call "intensive care consultant" when SpO2 below 92 % for 3 min or EtCO2 above 7 kPa for 5 min

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit

checked 2026-11-10 15:05 by "second checker, intensive care pharmacy"

# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: the valve was added for the afternoon, the cuff was not let down.
prescription "First afternoon with a speaking valve, man weaning by tracheostomy"
  notation     1
  id           TM-0706
  revision     4
  status       active
  written      2026-11-23 09:10 by "registrar, intensive care"
  valid until  2026-11-30

patient
  age                    61 years
  sex                    male
  height                 174 cm
  weight                 76 kg measured 2026-11-20
  indication             "polyneuropathy after sepsis, fourth week of ventilation"
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
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

circuit afternoon
  assembly  ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, speaking valve, tracheostomy tube

circuit rest
  assembly  ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL, tracheostomy tube

settings afternoon from 14:00 to 16:00
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  18 cmH2O above ambient
  rate                  12 /min
  inspiratory time      1.1 s
  rise time             150 ms
  trigger               flow
  trigger sensitivity   2 L/min
  FiO2                  25 %

settings rest from 16:00 to 14:00
  mode                  A/C-PC
  PEEP                  6 cmH2O
  inspiratory pressure  18 cmH2O above ambient
  rate                  14 /min
  inspiratory time      1.1 s
  rise time             150 ms
  trigger               flow
  trigger sensitivity   2 L/min
  FiO2                  25 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   12 cmH2O
  high inspiratory pressure  30 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          4 L/min
  high minute volume         15 L/min
  high rate                  35 /min
  low SpO2                   92 %
  high SpO2                  99 %
  power loss                 on

targets
  SpO2  94 to 98 %

targets rest
  expired tidal volume  6 to 8 mL/kg of predicted weight
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, ECG, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

monitoring rest
  capnograph

escalation
  gases  at 4 h and 12 h
  call "intensive care consultant" when SpO2 below 92 % for 5 min or heart rate above 120 /min for 5 min

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit

checked 2026-11-23 11:00 by "second checker, physiotherapy"

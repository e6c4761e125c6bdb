# Slip: the pressure is that of the day before the membrane lung. Found by: pressure.lung-rest
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Rest settings beside a membrane lung, adult with pneumonia"
  notation   1
  id         TM-0913
  revision   4
  status     active
  written    2026-11-20 09:10 by "consultant, intensive care"
  review by  2027-01-04

patient
  age                     36 years
  sex                     male
  height                  177 cm
  weight                  81 kg measured 2026-11-16
  indication              "pneumonia of both lungs, failed protective ventilation lying prone"
  diagnosis               acute lung injury
  hypercapnia risk        no
  place of care           intensive care
  aim of care             full treatment
  extracorporeal support  veno-venous
  hours ventilated        24 h/day
  secretions              thick
  spontaneous breathing   none

airway
  interface      endotracheal tube cuffed
  tube size      8.5 mm
  cuff           inflated
  cuff pressure  26 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL, closed suction,
                          endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  PEEP                  12 cmH2O
  inspiratory pressure  32 cmH2O above ambient
  rate                  10 /min
  inspiratory time      1.5 s
  rise time             150 ms
  trigger               flow
  trigger sensitivity   3 L/min
  FiO2                  40 % allow 30 to 50 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  low inspiratory pressure   22 cmH2O
  high inspiratory pressure  40 cmH2O
  low PEEP                   8 cmH2O
  low minute volume          0.7 L/min
  high minute volume         6 L/min
  high rate                  30 /min
  low SpO2                   82 %
  high SpO2                  95 %
  low EtCO2                  1 kPa
  high EtCO2                 6 kPa
  power loss                 on

targets
  SpO2              85 to 93 %
  PaCO2             5 to 6.5 kPa
  pH                7.35 to 7.45

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "extracorporeal support team" when SpO2 below 82 % for 5 min or pH below 7.3

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

checked 2026-11-20 11:15 by "second checker, intensive care pharmacy"

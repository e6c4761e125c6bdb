# Slip: the place of care was left from the order on the ward. Found by: patient.extracorporeal-place
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Rest settings beside a membrane lung, adult with pneumonia"
  notation   1
  id         TM-0914
  revision   4
  status     active
  written    2026-11-20 09:10 by "consultant, intensive care"
  review by  2027-01-04

patient
  age                     51 years
  sex                     male
  height                  182 cm
  weight                  88 kg measured 2026-11-16
  indication              "pneumonia of both lungs, failed protective ventilation lying prone"
  diagnosis               acute lung injury
  hypercapnia risk        no
  place of care           ward
  aim of care             full treatment
  extracorporeal support  veno-venous
  hours ventilated        24 h/day
  compliance              14 mL/cmH2O
  resistance              12 cmH2O/(L/s)
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
  inspiratory pressure  22 cmH2O above ambient
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
  low inspiratory pressure   17 cmH2O
  high inspiratory pressure  35 cmH2O
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
  plateau pressure  up to 25 cmH2O
  driving pressure  up to 10 cmH2O
  SpO2              85 to 93 %
  PaCO2             5 to 6.5 kPa
  pH                7.35 to 7.45

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "extracorporeal support team" when SpO2 below 82 % for 5 min or pH below 7.3 or plateau pressure above 25 cmH2O

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

readings after change at 2026-11-20 10:30 by "bedside nurse, intensive care"
  expired tidal volume  140 mL
  peak pressure         22 cmH2O
  plateau pressure      22 cmH2O
  SpO2                  90 %
  EtCO2                 2.1 kPa
  PaCO2                 5.6 kPa
  PaO2                  8.2 kPa
  pH                    7.39
  FiO2                  40 %

checked 2026-11-20 11:15 by "second checker, intensive care pharmacy"

# Slip: the rate leaves an obstructed lung too little time to empty. Found by: timing.trapping
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Breathing tube for an attack of obstructive disease"
  notation   1
  id         TM-0618
  revision   1
  status     active
  written    2026-11-19 09:15 by "registrar, intensive care"
  review by  2027-01-06

patient
  age                    69 years
  sex                    male
  height                 175 cm
  weight                 71 kg measured 2026-11-18
  indication             "exhaustion in an attack of obstructive disease, mask support has failed"
  diagnosis              obstructive
  hypercapnia risk       yes
  place of care          intensive care
  hours ventilated       24 h/day
  compliance             60 mL/cmH2O
  resistance             14 cmH2O/(L/s)
  expiratory resistance  20 cmH2O/(L/s)
  secretions             thin
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      7.5 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL,
                          endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                 A/C-VC
  PEEP                 5 cmH2O
  tidal volume         450 mL
  rate                 16 /min
  inspiratory flow     45 L/min
  inspiratory pause    0.2 s
  inspiratory time     0.8 s
  trigger              flow
  trigger sensitivity  2 L/min
  FiO2                 30 % allow 24 to 40 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  35 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          4.5 L/min
  high minute volume         12 L/min
  high rate                  35 /min
  low SpO2                   86 %
  high SpO2                  94 %
  low EtCO2                  3.5 kPa
  high EtCO2                 8 kPa
  power loss                 on

targets
  plateau pressure  up to 30 cmH2O
  driving pressure  up to 15 cmH2O
  SpO2              88 to 92 %
  EtCO2             4 to 7 kPa
  PaCO2             4.5 to 8 kPa
  pH                7.3 to 7.45

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "intensive care consultant" when pH below 7.2 or SpO2 below 86 % for 5 min or plateau pressure above 30 cmH2O

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

checked 2026-11-19 11:30 by "second checker, intensive care pharmacy"

# Slip: a mode of the patient's own breaths, for somebody who takes none. Found by: patient.no-breath-of-own
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Waking up after heart surgery, adult with a breathing tube"
  notation   1
  id         TM-1201
  revision   1
  status     active
  written    2026-11-11 20:30 by "registrar, intensive care"
  review by  2027-01-11

patient
  age                    66 years
  sex                    male
  height                 172 cm
  weight                 75 kg measured 2026-11-10
  indication             "waking up overnight after heart surgery"
  diagnosis              normal lungs
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  none

airway
  interface      endotracheal tube cuffed
  tube size      8.0 mm
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
  mode                          CSV-vtPS
  PEEP                          5 cmH2O
  volume target                 480 mL
  tidal volume                  480 mL  # the same number, under the name that the screen shows
  minimum inspiratory pressure  10 cmH2O above ambient
  maximum inspiratory pressure  22 cmH2O above ambient
  rise time                     150 ms
  trigger                       flow
  trigger sensitivity           2 L/min
  cycle-off                     25 %
  FiO2                          30 % allow 21 to 40 %

back-up after apnoea 15 s
  tidal volume      480 mL
  rate              14 /min
  inspiratory time  1 s

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   8 cmH2O
  high inspiratory pressure  30 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          4 L/min
  high minute volume         12 L/min
  high rate                  35 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa
  power loss                 on

targets
  expired tidal volume  420 to 540 mL
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "intensive care consultant" when SpO2 below 92 % for 3 min or spontaneous rate above 30 /min for 5 min

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

checked 2026-11-11 21:10 by "second checker, intensive care pharmacy"

# Slip: the oxygen fraction was left out of an order for a breathing tube. Found by: oxygen.unstated
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Waking up after spinal surgery, no fraction of oxygen"
  notation   1
  id         TM-0950
  revision   1
  status     active
  written    2026-11-11 20:30 by "registrar, children's intensive care"
  review by  2027-01-11

patient
  age                    16 years 4 months
  sex                    female
  height                 161 cm
  weight                 53 kg measured 2026-11-10
  indication             "waking up overnight after surgery for a curved spine"
  diagnosis              chest wall
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface      endotracheal tube cuffed
  tube size      7.0 mm
  cuff           inflated
  cuff pressure  22 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL,
                          endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                 CSV-PS
  PEEP                 5 cmH2O
  pressure support     10 cmH2O above PEEP allow 8 to 12 cmH2O
  rise time            150 ms
  trigger              flow
  trigger sensitivity  2 L/min
  cycle-off            25 %

back-up after apnoea 15 s
  inspiratory pressure  17 cmH2O above ambient
  rate                  16 /min
  inspiratory time      1 s

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  27 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          3 L/min
  high minute volume         12 L/min
  high rate                  35 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "children's intensive care consultant" when SpO2 below 92 % for 3 min or spontaneous rate above 30 /min for 5 min

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller

checked 2026-11-11 21:10 by "second checker, children's pharmacy"

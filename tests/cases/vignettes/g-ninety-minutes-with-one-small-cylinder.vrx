# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: 90 minutes by road. The cylinder was counted for what she breathes; the port lets out five times as much.
prescription "Road transfer to the weaning centre, woman with a tracheostomy"
  notation     1
  id           TM-0707
  revision     1
  status       active
  written      2026-11-23 16:20 by "registrar, critical care transfer"
  valid until  2026-11-25

patient
  age                    57 years
  sex                    female
  height                 165 cm
  weight                 64 kg measured 2026-11-22
  indication             "curved spine, transfer to the weaning centre on her own ventilator"
  diagnosis              chest wall
  hypercapnia risk       no
  place of care          transfer
  hours ventilated       20 h/day
  unaided up to          2 h
  secretions             thin
  spontaneous breathing  present

airway
  interface      tracheostomy cuffed
  tube size      7.5 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb            single with leak port
  leak port flow  28 L/min at 10 cmH2O
  assembly        ventilator, filter, tubing 180 cm, leak port, CO2 adapter 5 mL, HME 30 mL, tracheostomy tube
  oxygen inlet    capped
  humidification  HME

settings during transfer
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  18 cmH2O above ambient
  rate                  15 /min
  inspiratory time      1.2 s
  rise time             150 ms
  trigger               flow, leak-compensated
  trigger sensitivity   2 L/min
  FiO2                  40 %

oxygen
  cylinder         D UK at 137 bar
  cylinders        1
  transfer         90 min
  reserve          30 min
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   12 cmH2O
  high inspiratory pressure  30 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          4 L/min
  high minute volume         14 L/min
  high rate                  30 /min
  low SpO2                   92 %
  high SpO2                  99 %
  low EtCO2                  4 kPa
  high EtCO2                 7 kPa
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, cuff pressure gauge

escalation
  call "transfer consultant by telephone" when SpO2 below 92 % for 3 min or EtCO2 above 7 kPa for 3 min

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 12 Fr, oxygen cylinder
  spare tube same size, spare tube one size smaller, tracheostomy emergency kit, spare circuit, capnograph, pulse oximeter
  second ventilator, battery 6 h, trial on travel ventilator

checked 2026-11-23 17:00 by "second checker, transfer nurse"

# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Tracheostomy with a speaking valve in the afternoon, cuff up at night, adult with muscle disease"
  notation   1
  id         TM-0522
  revision   3
  status     active
  written    2026-11-12 15:05 by "consultant nurse, home ventilation"
  review by  2027-02-19

patient
  age                    44 years
  sex                    female
  height                 166 cm
  weight                 58 kg measured 2026-11-11
  indication             "muscle disease, tired by noon, raised carbon dioxide by night"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       15 h/day
  unaided up to          6 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  tracheostomy cuffed
  tube size  7.0 mm

airway afternoon
  cuff           deflated
  cuff pressure  0 cmH2O

airway night
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb            single with leak port
  leak port flow  34 L/min at 10 cmH2O
  oxygen inlet    capped

circuit afternoon  # a heated humidifier, since no breath comes back through an exchanger
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, leak port, speaking valve, tracheostomy tube
  humidification          heated humidifier
  humidifier temperature  37 degC

circuit night
  assembly        ventilator, filter, tubing 180 cm, leak port, CO2 adapter 5 mL, HME 30 mL, tracheostomy tube
  humidification  HME

settings afternoon from 13:00 to 19:00
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  18 cmH2O above ambient allow 16 to 20 cmH2O
  rate                  14 /min
  inspiratory time      1.1 s
  rise time             150 ms
  trigger               flow, leak-compensated
  trigger sensitivity   1 L/min

settings night from 22:00 to 07:00
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  18 cmH2O above ambient allow 16 to 20 cmH2O
  rate                  14 /min
  inspiratory time      1.1 s
  rise time             150 ms
  trigger               flow, leak-compensated
  trigger sensitivity   1 L/min

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   13 cmH2O
  high inspiratory pressure  30 cmH2O
  low minute volume          3.5 L/min
  high minute volume         14 L/min
  high rate                  30 /min
  low SpO2                   92 %
  power loss                 on

targets
  SpO2  94 to 98 %

targets night
  expired tidal volume  6 to 8 mL/kg of predicted weight
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, cuff pressure gauge

monitoring night
  capnograph

escalation
  call "home ventilation nurse on call" when SpO2 below 92 % for 5 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit, battery 10 h, spare circuit

checked 2026-11-13 09:30 by "second checker, physiotherapy"

# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Night support of an adult with a cuffed tracheostomy"
  notation   1
  id         tracheostomy-night-adult
  revision   2
  status     active
  written    2026-10-07 09:40 by "consultant, home ventilation"
  approved   2026-10-20 14:15 by "home ventilation guideline group"
  review by  2027-10-01

patient
  age                    at least 18 years
  sex                    female or male
  height                 155 to 185 cm
  indication             "sleep hypoventilation of an adult with a tracheostomy who breathes unaided by day"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       7 to 12 h/day
  unaided up to          at least 10 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  tracheostomy cuffed
  tube size  7 to 8.5 mm
  cuff       inflated

circuit
  limb            single with leak port
  leak port flow  22 to 30 L/min at 10 cmH2O
  assembly        ventilator, filter, tubing 180 cm, leak port, CO2 adapter 5 mL, HME 30 mL, tracheostomy tube
  oxygen inlet    capped
  humidification  HME

settings
  mode                      SIMV-PC with PS
  PEEP                      5 to 8 cmH2O
  inspiratory pressure      16 to 21 cmH2O above ambient
  pressure support          8 to 16 cmH2O above PEEP
  keep                      pressure support = inspiratory pressure - PEEP
  rate                      12 to 16 /min
  inspiratory time          1 to 1.3 s
  minimum inspiratory time  0.6 to 0.8 s
  maximum inspiratory time  1.4 to 1.6 s
  rise time                 100 to 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 to 2 L/min
  cycle-off                 25 %
  FiO2                      21 %

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   12 to 14 cmH2O  # 2 or more under every peak, less than 10 under it
  high inspiratory pressure  27 to 30 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          3 to 4 L/min
  high minute volume         12 to 14 L/min
  high rate                  30 to 35 /min
  low SpO2                   92 %
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  total leak            20 to 50 L/min
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph

escalation
  call "home ventilation nurse on call" when SpO2 below 92 % for 5 min or EtCO2 above 7 kPa

equipment
  self-inflating bag, suction, spare tube same size, spare tube one size smaller, battery 9 h

checked 2026-10-13 15:20 by "second checker, clinical engineering"

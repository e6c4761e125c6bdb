# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Night support by tracheostomy, adult with a spinal muscular disease"
  notation   1
  id         TM-2001
  revision   2
  status     draft
  follows    tracheostomy-night-adult revision 2
  written    2026-11-18 09:10 by "consultant nurse, home ventilation"
  review by  2027-05-14

patient
  age                    46 years
  sex                    female
  height                 166 cm
  weight                 60 kg measured 2026-11-13
  indication             "spinal muscular atrophy, raised carbon dioxide by night"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       9 h/day
  unaided up to          12 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  tracheostomy cuffed
  tube size  7.5 mm
  cuff       inflated

circuit
  limb            single with leak port
  leak port flow  26 L/min at 10 cmH2O
  assembly        ventilator, filter, tubing 180 cm, leak port, CO2 adapter 5 mL, HME 30 mL, tracheostomy tube
  oxygen inlet    capped
  humidification  HME

settings night from 22:00 to 07:00
  mode                      SIMV-PC with PS
  PEEP                      7 cmH2O
  inspiratory pressure      17 cmH2O above ambient
  pressure support          12 cmH2O above PEEP
  rate                      15 /min
  inspiratory time          1 s
  minimum inspiratory time  0.8 s
  maximum inspiratory time  1.4 s
  rise time                 150 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 25 %
  FiO2                      21 %

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   12 cmH2O
  high inspiratory pressure  27 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          3.5 L/min
  high minute volume         13 L/min
  high rate                  32 /min
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

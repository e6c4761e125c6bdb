# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# The story: an exchanger and a mount of another patient's size are most of what an infant breathes.
prescription "Tracheostomy after a long stay, infant of five months"
  notation     1
  id           TM-0703
  revision     1
  status       active
  written      2026-11-18 15:30 by "registrar, children's intensive care"
  valid until  2026-12-02

patient
  age                    5 months
  sex                    male
  height                 63 cm
  weight                 6.4 kg measured 2026-11-17
  indication             "chronic lung disease, tracheostomy in the second week of November"
  diagnosis              chronic lung disease of infancy
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface  tracheostomy uncuffed
  tube size  3.5 mm

circuit
  limb             dual
  assembly         ventilator, filter, tubing 150 cm, Y-piece, CO2 adapter 2 mL, HME 15 mL, catheter mount 16 mL, tracheostomy tube
  expiratory limb  tubing 150 cm, filter
  oxygen inlet     capped
  humidification   HME

settings
  mode                  A/C-PC
  PEEP                  6 cmH2O
  inspiratory pressure  20 cmH2O above ambient
  rate                  28 /min
  inspiratory time      0.6 s
  rise time             80 ms
  trigger               flow, leak-compensated
  trigger sensitivity   0.5 L/min
  FiO2                  28 % allow 21 to 40 %

oxygen
  pre-oxygenation  40 % for 30 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   17 cmH2O
  high inspiratory pressure  30 cmH2O
  low PEEP                   4 cmH2O
  low minute volume          0.8 L/min
  high minute volume         2.6 L/min
  high rate                  60 /min
  low SpO2                   90 %
  high SpO2                  98 %
  high EtCO2                 8 kPa
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  SpO2                  92 to 96 %
  EtCO2                 5 to 7 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, expired volume monitor, blood gas analyser

escalation
  gases  at 4 h and 12 h
  call "children's intensive care consultant" when SpO2 below 90 % for 3 min or EtCO2 above 8 kPa for 5 min

equipment
  self-inflating bag, mask, suction, suction catheter 6 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit

checked 2026-11-18 17:10 by "second checker, children's pharmacy"

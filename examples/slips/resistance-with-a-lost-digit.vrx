# Slip: the airway resistance has its point one place too far to the left. Found by: patient.resistance-low
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Lung-protective ventilation, adult with pneumonia"
  notation   1
  id         TM-1205
  revision   3
  status     active
  written    2026-11-19 09:15 by "registrar, intensive care"
  review by  2027-01-06

patient
  age                    49 years
  sex                    female
  height                 165 cm
  weight                 63 kg measured 2026-11-17
  indication             "acute hypoxaemic failure with pneumonia of both lungs"
  diagnosis              acute lung injury
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  compliance             34 mL/cmH2O
  resistance             0.8 cmH2O/(L/s)
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
  PEEP                 10 cmH2O
  tidal volume         340 mL
  rate                 22 /min allow 20 to 24 /min
  inspiratory flow     34 L/min
  inspiratory pause    0.3 s
  inspiratory time     0.9 s  # 340 mL at 34 L/min take 0.6 s, and the pause follows
  trigger              flow
  trigger sensitivity  2 L/min
  FiO2                 50 % allow 50 to 60 %

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   14 cmH2O
  high inspiratory pressure  35 cmH2O
  low PEEP                   6 cmH2O
  low minute volume          5 L/min
  high minute volume         12 L/min
  high rate                  40 /min
  low SpO2                   86 %
  high SpO2                  97 %
  low EtCO2                  3.5 kPa
  high EtCO2                 8 kPa
  power loss                 on

targets
  plateau pressure  up to 30 cmH2O
  driving pressure  up to 15 cmH2O
  SpO2              88 to 95 %
  EtCO2             4 to 7 kPa
  PaCO2             4.5 to 8 kPa
  pH                7.3 to 7.45

titration
  raise rate by 1 /min every 30 min up to 24 /min when pH below 7.3

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "intensive care consultant" when pH below 7.2 or SpO2 below 86 % for 5 min or plateau pressure above 30 cmH2O

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

readings after change at 2026-11-19 10:20 by "bedside nurse, intensive care"
  expired tidal volume  335 mL
  peak pressure         25 cmH2O
  plateau pressure      20 cmH2O
  total PEEP            10 cmH2O
  SpO2                  93 %
  EtCO2                 5.4 kPa
  PaCO2                 6.1 kPa
  PaO2                  9.4 kPa
  pH                    7.33
  FiO2                  50 %

checked 2026-11-19 11:30 by "second checker, intensive care pharmacy"

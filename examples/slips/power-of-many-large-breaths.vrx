# Slip: rate and volume were raised step by step, and nobody looked at both together. Found by: pressure.mechanical-power
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Lung-protective ventilation, man with pneumonia"
  notation   1
  id         TM-0986
  revision   1
  status     active
  written    2026-11-19 09:15 by "registrar, intensive care"
  review by  2027-01-06

patient
  age                    49 years
  sex                    male
  height                 178 cm
  weight                 80 kg measured 2026-11-17
  indication             "acute hypoxaemic failure with pneumonia of both lungs"
  diagnosis              acute lung injury
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  compliance             40 mL/cmH2O
  resistance             8 cmH2O/(L/s)
  secretions             thin
  spontaneous breathing  weak

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
  mode                 A/C-VC
  PEEP                 10 cmH2O
  tidal volume         440 mL
  rate                 26 /min
  inspiratory flow     44 L/min
  inspiratory pause    0.3 s
  inspiratory time     0.9 s  # 440 mL at 44 L/min take 0.6 s, and the pause follows
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
  low minute volume          7 L/min
  high minute volume         20 L/min
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

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "intensive care consultant" when pH below 7.2 or SpO2 below 86 % for 5 min or plateau pressure above 30 cmH2O

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

checked 2026-11-19 11:30 by "second checker, intensive care pharmacy"

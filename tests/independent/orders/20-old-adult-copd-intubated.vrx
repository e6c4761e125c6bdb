# Invented: an old woman with COPD, intubated after mask ventilation failed.
# Settings after Singapore Med J 2022;63:535-41, table 3 (acute severe asthma and COPD: volume control, 10 /min rising, 6 mL/kg up to 8, 60 L/min, PEEP 5,
# SpO2 88 to 92 %). Predicted weight 50.6 kg: 350 mL is 6.9 mL/kg.
prescription "Intubated exacerbation of COPD, old adult"
  notation   1
  id         TM-4120
  revision   1
  status     active
  written    2026-11-23 05:00 by "intensive care registrar"
  review by  2026-11-24

patient
  age                    76 years
  sex                    female
  height                 158 cm
  weight                 54 kg measured 2026-11-22
  indication             "exacerbation of COPD, mask ventilation failed"
  diagnosis              obstructive
  hypercapnia risk       yes
  place of care          intensive care
  hours ventilated       24 h/day
  resistance             18 cmH2O/(L/s)
  compliance             50 mL/cmH2O
  secretions             thick
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      7.5 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, nebuliser, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter 5 mL, closed suction, endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC
  nebuliser               on ventilator side

settings
  mode                 A/C-VC
  tidal volume         350 mL allow 300 to 400 mL
  PEEP                 5 cmH2O
  rate                 12 /min allow 10 to 14 /min
  inspiratory flow     60 L/min
  trigger              flow
  trigger sensitivity  2 L/min
  FiO2                 0.35 allow 0.24 to 0.5

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   14 cmH2O
  high inspiratory pressure  45 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          2.8 L/min
  high minute volume         10 L/min
  low tidal volume           230 mL
  high tidal volume          520 mL
  high rate                  30 /min
  low SpO2                   86 % after 15 s
  high SpO2                  94 % after 60 s
  low EtCO2                  4 kPa
  high EtCO2                 9 kPa

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  plateau pressure      up to 30 cmH2O
  SpO2                  88 to 92 %
  PaCO2                 6 to 9 kPa
  pH                    7.25 to 7.40

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 10 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "intensive care consultant" when pH below 7.2 or plateau pressure above 30 cmH2O or total PEEP above 12 cmH2O or SpO2 below 85 % for 3 min
  ceiling "one trial of intubation, no tracheostomy, agreed with the patient"
  gases at 1 h and 4 h

readings after change at 2026-11-23 05:30 by "bedside nurse"
  expired tidal volume  345 mL
  rate                  13 /min
  peak pressure         33 cmH2O
  plateau pressure      15 cmH2O
  PEEP                  5 cmH2O
  total PEEP            8 cmH2O
  minute volume         4.5 L/min
  FiO2                  35 %
  SpO2                  91 %
  PaO2                  8.2 kPa
  PaCO2                 8.1 kPa
  EtCO2                 6.6 kPa
  pH                    7.28

checked 2026-11-23 06:00 by "intensive care consultant"

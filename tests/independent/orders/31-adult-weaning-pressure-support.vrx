# Invented: a woman recovering from pneumonia, weaning by pressure support with limits.
# Weaning limits after Boles JM et al., Eur Respir J 2007;29:1033-56 (from memory) and the trial level of 5 to 8 cmH2O of the ATS/ACCP guideline,
# Am J Respir Crit Care Med 2017;195:115-9. Predicted weight 55.1 kg.
prescription "Weaning by pressure support, adult"
  notation   1
  id         TM-4131
  revision   4
  status     active
  replaces   TM-4131 revision 3
  written    2026-11-23 08:00 by "intensive care registrar"
  review by  2026-11-24

patient
  age                    66 years
  sex                    female
  height                 163 cm
  weight                 63 kg measured 2026-11-16
  indication             "recovering from pneumonia, awake"
  diagnosis              other
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface      endotracheal tube cuffed
  tube size      7.5 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter 5 mL, closed suction, endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                      CSV-PS
  pressure support          12 cmH2O above PEEP allow 6 to 14 cmH2O in steps of 1 cmH2O
  PEEP                      6 cmH2O allow 5 to 8 cmH2O
  rise time                 100 ms
  trigger                   flow
  trigger sensitivity       2 L/min
  cycle-off                 25 %
  maximum inspiratory time  1.50 s
  FiO2                      0.35 allow 0.25 to 0.4

back-up after apnoea 20 s
  inspiratory pressure  12 cmH2O above PEEP
  rate                  15 /min
  inspiratory time      1.00 s

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   9 cmH2O
  high inspiratory pressure  35 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          4 L/min
  high minute volume         14 L/min
  low tidal volume           220 mL
  high tidal volume          650 mL
  high rate                  35 /min after 30 s
  low SpO2                   90 % after 15 s
  high SpO2                  99 % after 60 s
  high EtCO2                 7 kPa

targets
  expired tidal volume  5 to 8 mL/kg of predicted weight
  SpO2                  92 to 97 %
  PaCO2                 4.7 to 6.3 kPa

titration
  lower pressure support by 2 cmH2O every 2 h down to 6 cmH2O when spontaneous rate below 28 /min for 30 min and SpO2 at least 92 %
  raise pressure support by 2 cmH2O every 10 min up to 14 cmH2O when spontaneous rate above 30 /min for 5 min
  stop when  spontaneous rate above 35 /min for 5 min or SpO2 below 90 % for 2 min or heart rate above 140 /min
  call when  expired tidal volume below 250 mL

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 10 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "intensive care registrar" when spontaneous rate above 35 /min for 5 min or SpO2 below 90 % for 3 min or pH below 7.3
  ceiling "full treatment, to be intubated again if extubation fails"
  gases at 1 h

readings before change at 2026-11-23 07:40 by "bedside nurse"
  expired tidal volume  395 mL
  spontaneous rate      20 /min
  peak pressure         18 cmH2O
  PEEP                  6 cmH2O
  minute volume         7.9 L/min
  FiO2                  35 %
  SpO2                  96 %
  PaO2                  11.1 kPa
  PaCO2                 5.3 kPa
  pH                    7.42
  heart rate            88 /min

checked 2026-11-23 08:20 by "intensive care consultant"

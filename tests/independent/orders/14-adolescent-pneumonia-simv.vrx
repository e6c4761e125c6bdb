# Invented: a sixteen-year-old intubated for pneumonia, SIMV volume control with pressure support.
# Settings after Kneyber MCJ et al., Intensive Care Med 2017;43:1764-80 and the lower-PEEP table of the ARDS Network, N Engl J Med 2000;342:1301-8
# (0.45 lies between 0.4 with 8 and 0.5 with 8 cmH2O). Predicted weight 54.2 kg: 350 mL is 6.5 mL/kg.
prescription "Pneumonia, adolescent, SIMV with pressure support"
  notation   1
  id         TM-4114
  revision   1
  status     active
  written    2026-11-22 21:15 by "intensive care registrar"
  review by  2026-11-24

patient
  age                    16 years 3 months
  sex                    female
  height                 162 cm
  weight                 55 kg measured 2026-11-21
  indication             "pneumonia, hypoxaemia"
  diagnosis              other
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thick
  spontaneous breathing  present

airway
  interface      endotracheal tube cuffed
  tube size      7.0 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter 5 mL, closed suction, endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                 SIMV-VC with PS
  tidal volume         350 mL
  pressure support     12 cmH2O above PEEP allow 8 to 14 cmH2O in steps of 1 cmH2O
  PEEP                 8 cmH2O
  rate                 16 /min
  inspiratory time     0.90 s
  rise time            100 ms
  trigger              flow
  trigger sensitivity  2 L/min
  cycle-off            25 %
  FiO2                 0.45

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   12 cmH2O
  high inspiratory pressure  36 cmH2O
  low PEEP                   5 cmH2O
  low minute volume          4.5 L/min
  high minute volume         13 L/min
  low tidal volume           220 mL
  high tidal volume          550 mL
  high rate                  35 /min
  low SpO2                   90 % after 15 s
  low EtCO2                  3.8 kPa
  high EtCO2                 7 kPa
  low FiO2                   40 %
  high FiO2                  50 %

targets
  expired tidal volume  5 to 8 mL/kg of predicted weight
  plateau pressure      up to 28 cmH2O
  driving pressure      up to 15 cmH2O
  SpO2                  94 to 98 %
  PaCO2                 4.7 to 6.7 kPa
  pH                    7.30 to 7.45

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 10 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "intensive care consultant" when SpO2 below 88 % for 3 min or pH below 7.25 or plateau pressure above 28 cmH2O
  ceiling "full treatment"
  gases at 1 h and 4 h

readings after change at 2026-11-22 21:45 by "bedside nurse"
  expired tidal volume  345 mL
  rate                  21 /min
  spontaneous rate      5 /min
  peak pressure         24 cmH2O
  plateau pressure      18 cmH2O
  PEEP                  8 cmH2O
  minute volume         7.4 L/min
  FiO2                  45 %
  SpO2                  95 %
  PaO2                  10.4 kPa
  PaCO2                 5.4 kPa
  pH                    7.37

checked 2026-11-22 22:00 by "intensive care consultant"

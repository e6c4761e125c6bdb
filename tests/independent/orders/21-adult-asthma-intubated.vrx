# Invented: a woman intubated for near-fatal asthma (the notation has "obstructive", not asthma).
# Settings after Singapore Med J 2022;63:535-41, table 3 (10 /min, 6 mL/kg, 60 L/min or more, PEEP 5). Predicted weight 57.0 kg: 340 mL is 6.0 mL/kg.
prescription "Near-fatal asthma, adult"
  notation   1
  id         TM-4121
  revision   1
  status     active
  written    2026-11-22 23:50 by "intensive care registrar"
  review by  2026-11-24

patient
  age                    34 years
  sex                    female
  height                 165 cm
  weight                 66 kg measured 2026-11-22
  indication             "near-fatal asthma, exhaustion"
  diagnosis              obstructive
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thick
  spontaneous breathing  none

airway
  interface      endotracheal tube cuffed
  tube size      8.0 mm
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
  tidal volume         340 mL allow 285 to 400 mL
  PEEP                 5 cmH2O
  rate                 10 /min allow 8 to 12 /min
  inspiratory flow     70 L/min
  trigger              flow
  trigger sensitivity  2 L/min
  FiO2                 0.5 allow 0.3 to 1

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   15 cmH2O
  high inspiratory pressure  60 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          2.2 L/min
  high minute volume         9 L/min
  low tidal volume           220 mL
  high tidal volume          500 mL
  high rate                  25 /min
  low SpO2                   90 % after 15 s
  high SpO2                  98 % after 60 s
  low EtCO2                  4.5 kPa
  high EtCO2                 11 kPa

targets
  expired tidal volume  5 to 7 mL/kg of predicted weight
  plateau pressure      up to 30 cmH2O
  SpO2                  92 to 96 %
  PaCO2                 6 to 11 kPa
  pH                    7.20 to 7.40

titration
  lower rate by 1 /min every 15 min down to 8 /min when total PEEP above 15 cmH2O
  raise rate by 1 /min every 30 min up to 12 /min when pH below 7.2 and plateau pressure below 25 cmH2O and total PEEP below 10 cmH2O
  call when  plateau pressure above 30 cmH2O

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "intensive care consultant" when plateau pressure above 30 cmH2O or SpO2 below 88 % for 3 min or pH below 7.15
  ceiling "full treatment, referral for extracorporeal support if it fails"
  gases at 30 min and 2 h

readings after change at 2026-11-23 00:20 by "bedside nurse"
  expired tidal volume  335 mL
  rate                  10 /min
  peak pressure         46 cmH2O
  plateau pressure      20 cmH2O
  PEEP                  5 cmH2O
  total PEEP            11 cmH2O
  minute volume         3.35 L/min
  FiO2                  50 %
  SpO2                  95 %
  PaO2                  10.2 kPa
  PaCO2                 9.4 kPa
  EtCO2                 7.6 kPa
  pH                    7.20
  heart rate            128 /min

checked 2026-11-23 00:40 by "intensive care consultant"

# Invented: a two-year-old with pneumonia and moderate paediatric acute lung injury.
# Settings after Emeriaud G et al. (PALICC-2), Pediatr Crit Care Med 2023;24:143-68: 6 to 8 mL/kg, plateau at most 28, driving pressure at most 15,
# PEEP not below the lower-PEEP table (0.6 with 10 cmH2O), SpO2 92 to 97 %, pH at least 7.20.
prescription "Paediatric acute lung injury, toddler"
  notation   1
  id         TM-4108
  revision   2
  status     active
  replaces   TM-4108 revision 1
  written    2026-11-23 10:30 by "paediatric intensive care consultant"
  review by  2026-11-24

patient
  age                    2 years 3 months
  sex                    male
  height                 88 cm
  weight                 12.5 kg measured 2026-11-20
  indication             "pneumonia with acute lung injury"
  diagnosis              acute lung injury
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thick
  spontaneous breathing  weak

airway
  interface      endotracheal tube cuffed
  tube size      4.0 mm
  cuff           inflated
  cuff pressure  20 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, Y-piece, CO2 adapter 2 mL, closed suction, endotracheal tube
  expiratory limb         tubing 150 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  inspiratory pressure  14 cmH2O above PEEP allow 10 to 15 cmH2O in steps of 1 cmH2O
  PEEP                  10 cmH2O
  rate                  28 /min allow 24 to 35 /min
  inspiratory time      0.70 s
  rise time             100 ms
  trigger               flow
  trigger sensitivity   1 L/min
  FiO2                  0.6

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 5 s
  apnoea                     after 10 s
  power loss                 on
  low inspiratory pressure   17 cmH2O
  high inspiratory pressure  33 cmH2O
  low PEEP                   7 cmH2O
  low minute volume          1.4 L/min
  high minute volume         4 L/min
  low tidal volume           50 mL
  high tidal volume          112 mL
  high rate                  55 /min
  low SpO2                   90 % after 10 s
  high SpO2                  98 % after 60 s
  low EtCO2                  4 kPa
  high EtCO2                 8 kPa
  low FiO2                   55 %
  high FiO2                  65 %

targets
  expired tidal volume  5 to 7 mL/kg of measured weight
  plateau pressure      up to 28 cmH2O
  driving pressure      up to 15 cmH2O
  SpO2                  92 to 97 %
  PaCO2                 5 to 8 kPa
  pH                    7.20 to 7.40

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 8 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "paediatric intensive care consultant" when SpO2 below 88 % for 3 min or pH below 7.2 or plateau pressure above 28 cmH2O
  ceiling "full treatment, referral for extracorporeal support if worse"
  gases at 1 h and 4 h

readings after change at 2026-11-23 11:00 by "bedside nurse"
  expired tidal volume   77 mL
  rate                   28 /min
  peak pressure          24 cmH2O
  plateau pressure       24 cmH2O
  PEEP                   10 cmH2O
  mean airway pressure   14.6 cmH2O
  minute volume          2.16 L/min
  FiO2                   60 %
  SpO2                   94 %
  PaO2                   9.2 kPa
  PaCO2                  6.8 kPa
  EtCO2                  5.9 kPa
  pH                     7.30

checked 2026-11-23 11:20 by "paediatric intensive care registrar"

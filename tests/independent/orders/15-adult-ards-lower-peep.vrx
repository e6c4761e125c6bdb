# Invented: a woman with moderate acute lung injury from pneumonia, lower-PEEP ladder, volume-controlled assist/control.
# Settings after the ARDS Network protocol (N Engl J Med 2000;342:1301-8): 6 mL/kg of predicted weight, plateau at most 30, lower-PEEP table 0.6 with 10,
# SpO2 88 to 95 %, PaO2 55 to 80 mmHg, pH 7.30 to 7.45, rate not above 35. Predicted weight 57.0 kg: 340 mL is 6.0 mL/kg; 228 mL is 4 mL/kg.
prescription "Acute lung injury, adult, lower PEEP"
  notation   1
  id         TM-4115
  revision   2
  status     active
  replaces   TM-4115 revision 1
  follows    tm-ards-lower-peep revision 2
  written    2026-11-23 08:30 by "intensive care consultant"
  review by  2026-11-24

patient
  age                    58 years
  sex                    female
  height                 165 cm
  weight                 78 kg measured 2026-11-20
  indication             "acute lung injury, pneumonia"
  diagnosis              acute lung injury
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thick
  spontaneous breathing  weak

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
  mode                 A/C-VC
  tidal volume         340 mL allow 228 to 340 mL
  PEEP                 10 cmH2O
  rate                 24 /min allow 20 to 35 /min
  inspiratory time     0.80 s
  inspiratory pause    0.2 s
  trigger              flow
  trigger sensitivity  2 L/min
  FiO2                 0.6

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   18 cmH2O
  high inspiratory pressure  40 cmH2O
  low PEEP                   7 cmH2O
  low minute volume          5.5 L/min
  high minute volume         14 L/min
  low tidal volume           190 mL
  high tidal volume          460 mL
  high rate                  40 /min
  low SpO2                   86 % after 15 s
  high SpO2                  97 % after 60 s
  low EtCO2                  3.5 kPa
  high EtCO2                 8 kPa
  low FiO2                   45 %
  high FiO2                  65 %

targets
  expired tidal volume  4 to 6 mL/kg of predicted weight
  plateau pressure      up to 30 cmH2O
  driving pressure      up to 15 cmH2O
  SpO2                  88 to 95 %
  PaO2                  7.3 to 10.7 kPa
  pH                    7.30 to 7.45

titration
  lower tidal volume by 56 mL every 2 h down to 228 mL when plateau pressure above 30 cmH2O
  raise rate by 2 /min every 30 min up to 35 /min when pH below 7.3
  lower FiO2 by 0.1 every 30 min down to 0.5 when SpO2 above 95 % for 15 min
  call when  pH below 7.15 or plateau pressure above 30 cmH2O for 10 min

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 10 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "intensive care consultant" when plateau pressure above 30 cmH2O for 10 min or pH below 7.2 or SpO2 below 85 % for 3 min
  ceiling "full treatment, prone position if the oxygen need keeps rising"
  gases at 1 h and 4 h

readings after change at 2026-11-23 09:15 by "bedside nurse"
  expired tidal volume  336 mL
  rate                  25 /min
  peak pressure         31 cmH2O
  plateau pressure      24 cmH2O
  PEEP                  10 cmH2O
  total PEEP            10 cmH2O
  minute volume         8.4 L/min
  FiO2                  60 %
  SpO2                  93 %
  PaO2                  9.0 kPa
  PaCO2                 6.1 kPa
  EtCO2                 5.0 kPa
  pH                    7.33
  heart rate            98 /min

checked 2026-11-23 09:40 by "intensive care registrar"

# Invented: a man with severe traumatic brain injury and healthy lungs, controlled volume ventilation with an HME filter.
# Targets after Robba C et al. (ESICM consensus), Intensive Care Med 2020;46:2397-410: PaCO2 35 to 45 mmHg, PaO2 80 to 120 mmHg (from memory).
# Predicted weight 76.9 kg: 500 mL is 6.5 mL/kg. Apparatus dead space 65 mL, 13 % of the breath.
prescription "Severe brain injury, adult, CO2 target"
  notation   1
  id         TM-4130
  revision   1
  status     active
  written    2026-11-22 20:00 by "neurointensive care consultant"
  review by  2026-11-24

patient
  age                    41 years
  sex                    male
  height                 182 cm
  weight                 84 kg measured 2026-11-22
  indication             "severe traumatic brain injury, coma"
  diagnosis              normal lungs
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  none

airway
  interface      endotracheal tube cuffed
  tube size      8.0 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb             dual
  assembly         ventilator, filter, tubing 160 cm, Y-piece, CO2 adapter 5 mL, HME filter 45 mL, catheter mount 15 mL, endotracheal tube
  expiratory limb  tubing 160 cm, filter
  humidification   HME

settings
  mode              CMV-VC
  tidal volume      500 mL
  PEEP              6 cmH2O allow 5 to 8 cmH2O
  rate              16 /min allow 14 to 19 /min in steps of 1 /min
  inspiratory time  1.00 s
  trigger           none
  FiO2              0.35 allow 0.3 to 0.6

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   11 cmH2O
  high inspiratory pressure  32 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          6 L/min
  high minute volume         12 L/min
  low tidal volume           380 mL
  high tidal volume          650 mL
  high rate                  30 /min
  low SpO2                   92 % after 15 s
  high SpO2                  99 % after 60 s
  low EtCO2                  3.9 kPa
  high EtCO2                 5.8 kPa

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  plateau pressure      up to 30 cmH2O
  driving pressure      up to 15 cmH2O
  SpO2                  94 to 98 %
  EtCO2                 4.2 to 5.5 kPa
  PaCO2                 4.7 to 6 kPa
  PaO2                  10.7 to 16 kPa

titration
  raise rate by 1 /min every 15 min up to 19 /min when EtCO2 above 5.5 kPa for 10 min
  lower rate by 1 /min every 15 min down to 14 /min when EtCO2 below 4.2 kPa for 10 min
  call when  PaCO2 above 6.3 kPa or PaCO2 below 4.5 kPa

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller, battery 30 min

escalation
  call "neurointensive care consultant" when PaCO2 above 6.3 kPa or PaCO2 below 4.5 kPa or SpO2 below 91 % for 2 min
  ceiling "full treatment"
  gases at 30 min and 2 h

readings after change at 2026-11-22 20:40 by "bedside nurse"
  expired tidal volume  490 mL
  rate                  16 /min
  peak pressure         19 cmH2O
  plateau pressure      15 cmH2O
  PEEP                  6 cmH2O
  minute volume         7.8 L/min
  FiO2                  35 %
  SpO2                  98 %
  PaO2                  14.5 kPa
  PaCO2                 5.2 kPa
  EtCO2                 4.8 kPa
  pH                    7.40

checked 2026-11-22 21:00 by "neurointensive care registrar"

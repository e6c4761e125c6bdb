# Invented: an intubated man moved between hospitals by road, transport ventilator with a single limb and exhalation valve, oxygen from cylinders.
# Settings after the FICM/ICS guidance 2018 (Griffiths MJD et al., BMJ Open Respir Res 2019;6:e000420) and the lower-PEEP table (0.5 with 8 cmH2O).
# Oxygen as twice the need (Lutman D, Petros AJ, Emerg Med J 2006;23:703-4 for cylinder contents): 90 min x 2 x 8.1 L/min, all of it counted as oxygen,
# is 1458 L; two F cylinders hold 2720 L. Predicted weight 71.5 kg: 450 mL is 6.3 mL/kg. Apparatus dead space 65 mL, 14 % of the breath.
prescription "Transfer of an intubated adult by road"
  notation   1
  id         TM-4133
  revision   1
  status     active
  written    2026-11-23 12:00 by "transfer team consultant"
  review by  2026-11-24
  valid until 2026-11-24

patient
  age                    57 years
  sex                    male
  height                 176 cm
  weight                 80 kg measured 2026-11-21
  indication             "pneumonia, transfer for intensive care"
  diagnosis              other
  hypercapnia risk       no
  place of care          transfer
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  none

airway
  interface      endotracheal tube cuffed
  tube size      8.0 mm
  cuff           inflated
  cuff pressure  25 cmH2O

circuit
  limb            single with exhalation valve
  assembly        ventilator, tubing 150 cm, exhalation valve, CO2 adapter 5 mL, HME filter 45 mL, catheter mount 15 mL, endotracheal tube
  humidification  HME

settings
  mode                 A/C-VC
  tidal volume         450 mL
  PEEP                 8 cmH2O
  rate                 18 /min allow 16 to 20 /min
  inspiratory time     1.00 s
  trigger              flow
  trigger sensitivity  3 L/min
  FiO2                 0.5 allow 0.4 to 1

oxygen
  cylinder         F UK at 137 bar
  cylinders        2
  transfer         90 min
  reserve          90 min
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   14 cmH2O
  high inspiratory pressure  38 cmH2O
  low PEEP                   5 cmH2O
  low minute volume          5.5 L/min
  high minute volume         13 L/min
  low tidal volume           320 mL
  high tidal volume          620 mL
  high rate                  32 /min
  low SpO2                   90 % after 15 s
  low EtCO2                  3.8 kPa
  high EtCO2                 6.8 kPa

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  plateau pressure      up to 30 cmH2O
  SpO2                  94 to 98 %
  EtCO2                 4.3 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, arterial line, expired volume monitor, cuff pressure gauge

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 12 Fr, spare tube same size, spare tube one size smaller, spare circuit
  battery 4 h, external battery 4 h, oxygen cylinder 1360 L, trial on travel ventilator, pulse oximeter, capnograph

escalation
  call "transfer team consultant" when SpO2 below 88 % for 3 min or EtCO2 above 7 kPa for 5 min
  ceiling "full treatment"
  gases at 30 min

readings after change at 2026-11-23 12:40 by "transfer nurse"
  expired tidal volume  445 mL
  rate                  18 /min
  peak pressure         26 cmH2O
  plateau pressure      20 cmH2O
  PEEP                  8 cmH2O
  minute volume         8.0 L/min
  FiO2                  50 %
  SpO2                  96 %
  PaO2                  11.4 kPa
  PaCO2                 5.4 kPa
  EtCO2                 4.8 kPa
  pH                    7.37

checked 2026-11-23 12:55 by "transfer nurse"

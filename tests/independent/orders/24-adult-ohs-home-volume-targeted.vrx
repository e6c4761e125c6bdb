# Invented: a man with stable obesity hypoventilation, volume-targeted bilevel mask ventilation at home.
# Settings after Berry RB et al., J Clin Sleep Med 2010;6:491-509 (8 mL/kg of ideal weight, pressure support 4 to 20, IPAP at most 30; inspiration 30 to 40 %
# of the cycle) and the usual EPAP of 11 +/- 2 in a published series (Eur Respir J; IPAP 19, back-up 13). Predicted weight 71.5 kg: 570 mL is 8.0 mL/kg.
prescription "Night support at home, obesity hypoventilation, volume targeted"
  notation   1
  id         TM-4124
  revision   2
  status     active
  replaces   TM-4124 revision 1
  written    2026-11-11 10:15 by "consultant, sleep and ventilation"
  review by  2027-05-11

patient
  age                    49 years
  sex                    male
  height                 176 cm
  weight                 139 kg measured 2026-11-11
  indication             "obesity hypoventilation with obstructive sleep apnoea"
  diagnosis              obesity hypoventilation
  hypercapnia risk       yes
  place of care          home
  hours ventilated       7 h/day
  unaided up to          17 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  oronasal mask vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, anti-asphyxia valve, oronasal mask
  leak port flow          30 L/min at 10 cmH2O
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  30 degC

settings night from 23:00 to 06:00
  mode                          S/T-vtPS
  volume target                 570 mL
  minimum inspiratory pressure  16 cmH2O above ambient
  maximum inspiratory pressure  26 cmH2O above ambient
  EPAP                          10 cmH2O
  back-up rate                  14 /min
  inspiratory time              1.40 s
  minimum inspiratory time      1.00 s
  maximum inspiratory time      1.70 s
  rise time                     300 ms
  trigger                       flow, leak-compensated
  cycle-off                     25 %

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   13 cmH2O after 15 s
  high inspiratory pressure  34 cmH2O
  low minute volume          4.5 L/min after 30 s
  high leak                  70 L/min after 30 s
  high rate                  35 /min

targets
  expired tidal volume  7 to 9 mL/kg of ideal weight
  SpO2                  at least 90 %
  PaCO2                 4.7 to 6 kPa

monitoring
  leak monitor, expired volume monitor

equipment
  spare mask, spare circuit

escalation
  call "home ventilation nurse, office hours" when SpO2 below 88 % for 10 min
  ceiling "full treatment"

checked 2026-11-11 14:00 by "respiratory physiologist"

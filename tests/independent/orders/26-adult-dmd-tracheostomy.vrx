# Invented: a man with Duchenne muscular dystrophy, tracheostomy, ventilated all day and night at home; cuff down and speaking valve in two windows.
# Settings: common practice, no published source. Equipment for a life-supporting ventilator after Gregoretti C et al., Breathe 2013;9:394-409.
# With the speaking valve all gas leaves by the larynx: no PEEP, no expired volume to measure, and no HME.
prescription "Round-the-clock ventilation with speaking windows, adult with tracheostomy"
  notation   1
  id         TM-4126
  revision   6
  status     active
  replaces   TM-4126 revision 5
  written    2026-11-06 10:00 by "consultant, home ventilation"
  review by  2027-02-06

patient
  age                    26 years
  sex                    male
  arm span               168 cm
  weight                 52 kg measured 2026-11-06
  indication             "Duchenne muscular dystrophy, no breathing reserve"
  diagnosis              neuromuscular
  hypercapnia risk       yes
  place of care          home
  hours ventilated       24 h/day
  unaided up to          0.25 h
  secretions             thin
  spontaneous breathing  weak

airway
  interface      tracheostomy cuffed
  tube size      7.0 mm
  cuff           inflated
  cuff pressure  24 cmH2O

airway speaking from 10:00 to 12:00 and 15:00 to 18:00
  cuff           deflated
  cuff pressure  0 cmH2O

circuit
  limb                    single with exhalation valve
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, exhalation valve, catheter mount 10 mL, tracheostomy tube
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

circuit speaking
  limb                    single with exhalation valve
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, exhalation valve, speaking valve, tracheostomy tube
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  inspiratory pressure  18 cmH2O above ambient allow 16 to 20 cmH2O in steps of 1 cmH2O
  PEEP                  5 cmH2O
  rate                  15 /min
  inspiratory time      1.20 s
  rise time             150 ms
  trigger               flow
  trigger sensitivity   2 L/min

settings speaking from 10:00 to 12:00 and 15:00 to 18:00
  mode                  A/C-PC
  inspiratory pressure  18 cmH2O above ambient allow 16 to 22 cmH2O in steps of 1 cmH2O
  PEEP                  0 cmH2O
  rate                  15 /min
  inspiratory time      1.20 s
  rise time             150 ms
  trigger               flow, leak-compensated
  trigger sensitivity   2 L/min

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   13 cmH2O after 5 s
  high inspiratory pressure  32 cmH2O
  low PEEP                   3 cmH2O after 10 s
  low minute volume          4.5 L/min
  high minute volume         15 L/min
  low tidal volume           300 mL
  high tidal volume          800 mL
  high rate                  35 /min
  low SpO2                   90 % after 15 s

alarms speaking
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   13 cmH2O after 5 s
  high inspiratory pressure  32 cmH2O
  low PEEP                   off because "no PEEP is set with the speaking valve"
  low minute volume          off because "with the speaking valve gas leaves by the mouth; low pressure, disconnection and SpO2 alarms stay on"
  low tidal volume           off because "with the speaking valve gas leaves by the mouth; low pressure, disconnection and SpO2 alarms stay on"
  high rate                  35 /min
  low SpO2                   90 % after 15 s

targets
  expired tidal volume  6 to 9 mL/kg of predicted weight
  SpO2                  at least 94 %
  PaCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, expired volume monitor, cuff pressure gauge

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 10 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit, battery 4 h, external battery 8 h, second ventilator, spare circuit, insufflation-exsufflation device, pulse oximeter

escalation
  call "on-call home ventilation team" when SpO2 below 90 % for 5 min
  ceiling "full treatment, hospital for pneumonia"

readings after change at 2026-11-06 08:30 by "respiratory physiologist"
  expired tidal volume  490 mL
  rate                  15 /min
  peak pressure         18 cmH2O
  minute volume         7.4 L/min
  SpO2                  97 %
  PaCO2                 5.2 kPa

checked 2026-11-06 14:20 by "specialist nurse, home ventilation"

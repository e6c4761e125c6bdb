# Invented: a seven-year-old with spinal muscular atrophy, nasal mask at night at home, room air.
# Settings within a published paediatric pathway (chop.edu, neuromuscular compromise and respiratory failure: IPAP 12 to 20, EPAP 3 to 8, timed back-up)
# and Berry RB et al., J Clin Sleep Med 2010;6:491-509 (EPAP at least 4, IPAP up to 20 under 12 years, inspiration 30 to 40 % of the cycle).
prescription "Night support, child with spinal muscular atrophy"
  notation   1
  id         TM-4110
  revision   4
  status     active
  replaces   TM-4110 revision 3
  written    2026-11-12 10:00 by "consultant, paediatric respiratory medicine"
  review by  2027-05-12

patient
  age                    7 years
  sex                    female
  height                 118 cm
  weight                 20 kg measured 2026-11-12
  indication             "night hypoventilation, spinal muscular atrophy"
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       10 h/day
  unaided up to          14 h
  secretions             thin
  spontaneous breathing  weak

airway
  interface  nasal mask vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, nasal mask
  leak port flow          26 L/min at 10 cmH2O
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  31 degC

settings night from 20:30 to 06:30
  mode                      S/T-PS
  EPAP                      4 cmH2O
  IPAP                      14 cmH2O allow 12 to 16 cmH2O in steps of 1 cmH2O
  back-up rate              18 /min
  inspiratory time          1.00 s
  minimum inspiratory time  0.80 s
  maximum inspiratory time  1.20 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 20 %

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   8 cmH2O after 15 s
  high inspiratory pressure  25 cmH2O
  low minute volume          1.8 L/min after 30 s
  high leak                  50 L/min after 30 s
  high rate                  40 /min
  low SpO2                   90 % after 15 s

targets
  expired tidal volume  6 to 9 mL/kg of measured weight
  SpO2                  at least 94 %
  PaCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter

equipment
  spare mask, spare circuit, suction, suction catheter 10 Fr, self-inflating bag, mask, insufflation-exsufflation device, battery 4 h, pulse oximeter

escalation
  call "paediatric home ventilation nurse" when SpO2 below 90 % for 5 min
  ceiling "full treatment, no oxygen without a check of ventilation and secretions"

checked 2026-11-12 15:20 by "specialist physiotherapist, home ventilation"

# Invented: a woman with obesity hypoventilation, acute on chronic, mask ventilation in the high-dependency area of intensive care.
# Settings after Davidson AC et al. (BTS/ICS), Thorax 2016;71 Suppl 2:ii1-35 (obesity: higher EPAP, often above 8; IPAP often above 25; back-up 16 to 20,
# Ti 1.2 to 1.5 s, SpO2 88 to 92 %; figures partly from memory).
prescription "Acute mask ventilation, obesity hypoventilation"
  notation   1
  id         TM-4123
  revision   1
  status     active
  written    2026-11-23 19:00 by "respiratory registrar"
  review by  2026-11-24

patient
  age                    52 years
  sex                    female
  height                 160 cm
  weight                 128 kg measured 2026-11-23
  indication             "obesity hypoventilation, acute on chronic, pH 7.26"
  diagnosis              obesity hypoventilation
  hypercapnia risk       yes
  place of care          intensive care
  hours ventilated       20 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface  oronasal mask vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, anti-asphyxia valve, oronasal mask
  leak port flow          32 L/min at 10 cmH2O
  humidification          heated humidifier
  humidifier temperature  31 degC

settings
  mode                      S/T-PS
  EPAP                      8 cmH2O allow 8 to 12 cmH2O in steps of 1 cmH2O
  IPAP                      20 cmH2O allow 18 to 28 cmH2O in steps of 1 cmH2O
  back-up rate              16 /min
  inspiratory time          1.30 s
  minimum inspiratory time  0.90 s
  maximum inspiratory time  1.50 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  cycle-off                 25 %
  FiO2                      0.35 allow 0.21 to 0.5
  keep                      IPAP - EPAP >= 10 cmH2O
  keep                      IPAP - EPAP <= 20 cmH2O

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   14 cmH2O after 15 s
  high inspiratory pressure  36 cmH2O
  low minute volume          4 L/min after 20 s
  low tidal volume           230 mL after 20 s
  high leak                  80 L/min after 30 s
  high rate                  36 /min
  low SpO2                   86 % after 30 s
  high SpO2                  94 % after 60 s

targets
  expired tidal volume  6 to 9 mL/kg of ideal weight
  SpO2                  88 to 92 %
  pH                    7.35 to 7.45

titration
  raise IPAP by 2 cmH2O every 10 min up to 28 cmH2O when pH below 7.35 or expired tidal volume below 315 mL
  raise EPAP and IPAP by 1 cmH2O every 15 min up to 12 cmH2O when SpO2 below 88 % for 5 min
  lower FiO2 by 0.05 every 10 min down to 0.21 when SpO2 above 92 % for 5 min
  call when  pH below 7.2

monitoring
  pulse oximeter, ECG, transcutaneous CO2, leak monitor, blood gas analyser

equipment
  spare mask, suction, self-inflating bag, mask, battery 30 min

escalation
  call "intensive care consultant" when pH below 7.2 or SpO2 below 85 % for 5 min
  ceiling "full treatment, intubation if it fails"
  gases at 1 h and 4 h

readings before change at 2026-11-23 18:30 by "emergency department nurse"
  spontaneous rate  28 /min
  FiO2              35 %
  SpO2              87 %
  PaO2              7.1 kPa
  PaCO2             9.6 kPa
  pH                7.26

checked 2026-11-23 19:20 by "intensive care nurse in charge"

# Invented: an old woman with cardiogenic oedema who tires on CPAP; bilevel by non-vented mask on a two-limb intensive care ventilator.
# Settings after Gray A et al. (3CPO), N Engl J Med 2008;359:142-51 (IPAP 8 up to 20, EPAP 4 up to 10; from memory).
prescription "Bilevel support, cardiogenic oedema"
  notation   1
  id         TM-4129
  revision   1
  status     active
  written    2026-11-23 07:30 by "intensive care registrar"
  review by  2026-11-24

patient
  age                    83 years
  sex                    female
  height                 157 cm
  weight                 61 kg measured 2026-11-23
  indication             "acute cardiogenic oedema, tiring on CPAP"
  diagnosis              cardiogenic oedema
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface  oronasal mask non-vented

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, oronasal mask
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  31 degC

settings
  mode                      S/T-PS
  EPAP                      7 cmH2O allow 5 to 10 cmH2O in steps of 1 cmH2O
  IPAP                      15 cmH2O allow 12 to 20 cmH2O in steps of 1 cmH2O
  back-up rate              14 /min
  inspiratory time          1.00 s
  minimum inspiratory time  0.60 s
  maximum inspiratory time  1.30 s
  rise time                 100 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       2 L/min
  cycle-off                 30 %
  FiO2                      0.5 allow 0.28 to 0.8
  keep                      IPAP - EPAP >= 5 cmH2O

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   11 cmH2O after 10 s
  high inspiratory pressure  30 cmH2O
  low PEEP                   3 cmH2O after 10 s
  low minute volume          4 L/min
  high minute volume         18 L/min
  low tidal volume           200 mL
  high leak                  40 L/min after 30 s
  high rate                  38 /min
  low SpO2                   90 % after 15 s
  high SpO2                  99 % after 60 s

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  SpO2                  94 to 98 %
  pH                    7.30 to 7.45

titration
  raise IPAP by 1 cmH2O every 5 min up to 20 cmH2O when expired tidal volume below 300 mL or spontaneous rate above 28 /min
  lower FiO2 by 0.1 every 10 min down to 0.28 when SpO2 above 98 % for 5 min
  stop when  expired tidal volume above 400 mL
  call when  pH below 7.25

monitoring
  pulse oximeter, ECG, arterial line, leak monitor, expired volume monitor, blood gas analyser

equipment
  spare mask, suction, self-inflating bag, mask, battery 30 min

escalation
  call "intensive care consultant" when pH below 7.25 or SpO2 below 90 % for 5 min
  ceiling "mask ventilation, no intubation, agreed with the patient"
  gases at 1 h and 4 h

readings after change at 2026-11-23 08:00 by "bedside nurse"
  expired tidal volume  345 mL
  spontaneous rate      25 /min
  minute volume         8.6 L/min
  unintentional leak    8 L/min
  FiO2                  50 %
  SpO2                  96 %
  PaO2                  11.2 kPa
  PaCO2                 5.6 kPa
  pH                    7.34

checked 2026-11-23 08:20 by "intensive care consultant"

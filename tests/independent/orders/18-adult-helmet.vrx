# Invented: a woman with hypoxaemic failure, pressure support by helmet on a two-limb ventilator.
# Settings after Grieco DL et al., JAMA 2021;325:1731-43 (PEEP 10 to 12, pressure support 10 to 12, shortest rise; from memory) and Esquinas Rodriguez AM
# et al., Crit Care 2013;17:223 (fastest pressurisation, higher levels than by mask).
# The tidal volume that is shown is not the patient's (the helmet gives way), so no volume alarm but minute volume is set.
prescription "Helmet, adult with pneumonia"
  notation   1
  id         TM-4118
  revision   1
  status     active
  written    2026-11-23 11:40 by "intensive care consultant"
  review by  2026-11-24

patient
  age                    55 years
  sex                    female
  height                 168 cm
  weight                 70 kg measured 2026-11-22
  indication             "pneumonia, hypoxaemia without hypercapnia"
  diagnosis              acute lung injury
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       20 h/day
  secretions             thin
  spontaneous breathing  present

airway
  interface  helmet non-vented

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, helmet
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  31 degC

settings
  mode                      CSV-PS
  PEEP                      10 cmH2O allow 10 to 12 cmH2O in steps of 1 cmH2O
  pressure support          10 cmH2O above PEEP allow 8 to 12 cmH2O in steps of 1 cmH2O
  rise time                 50 ms
  trigger                   flow
  trigger sensitivity       2 L/min
  cycle-off                 30 %
  maximum inspiratory time  1.20 s
  FiO2                      0.5 allow 0.35 to 0.6

back-up after apnoea 20 s
  inspiratory pressure  12 cmH2O above PEEP
  rate                  16 /min
  inspiratory time      1.00 s

alarms
  disconnection              after 10 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   14 cmH2O after 10 s
  high inspiratory pressure  34 cmH2O
  low PEEP                   7 cmH2O
  low minute volume          5 L/min
  high minute volume         30 L/min
  high rate                  35 /min
  low SpO2                   90 % after 15 s
  high SpO2                  98 % after 60 s

targets
  SpO2   92 to 96 %
  PaCO2  4.5 to 6 kPa
  pH     7.35 to 7.45

monitoring
  pulse oximeter, ECG, arterial line, oxygen analyser, leak monitor, blood gas analyser

equipment
  self-inflating bag, mask, suction, spare mask, battery 30 min

escalation
  call "intensive care consultant" when SpO2 below 90 % for 5 min or FiO2 above 60 % for 30 min or spontaneous rate above 35 /min for 15 min
  ceiling "full treatment, intubation if the trial fails"
  gases at 1 h and 4 h

checked 2026-11-23 12:10 by "intensive care registrar"

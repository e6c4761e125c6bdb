# Invented: a term newborn with meconium aspiration, intubated, pressure-controlled assist/control.
# Starting settings after a published teaching table of a children's hospital (uichildrens.org, use of mechanical ventilation in the neonate:
# rate 30 to 60, peak 24 to 30, PEEP 4 to 6, Ti 0.3 to 0.5 s, expiration not under 0.5 s). Preductal SpO2 92 to 97 %: common practice, no published source.
prescription "Meconium aspiration, term newborn"
  notation   1
  id         TM-4103
  revision   1
  status     active
  written    2026-11-23 09:05 by "neonatal consultant"
  review by  2026-11-24

patient
  age                    1 days
  gestation              41 weeks
  sex                    male
  length                 52 cm
  weight                 3.5 kg birth 2026-11-22
  indication             "meconium aspiration, hypoxaemia"
  diagnosis              other
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thick
  spontaneous breathing  weak

airway
  interface  endotracheal tube uncuffed
  tube size  3.5 mm

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 120 cm, Y-piece, flow sensor 1 mL, endotracheal tube
  expiratory limb         tubing 120 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  inspiratory pressure  24 cmH2O above ambient allow 20 to 26 cmH2O in steps of 1 cmH2O
  PEEP                  5 cmH2O
  rate                  40 /min allow 30 to 50 /min
  inspiratory time      0.40 s
  rise time             80 ms
  trigger               flow, leak-compensated
  trigger sensitivity   0.5 L/min
  FiO2                  0.6 allow 0.3 to 0.8

oxygen
  pre-oxygenation  70 % for 30 s before suction

alarms
  disconnection              after 5 s
  apnoea                     after 10 s
  power loss                 on
  low inspiratory pressure   15 cmH2O
  high inspiratory pressure  32 cmH2O
  low PEEP                   3 cmH2O
  low minute volume          0.35 L/min
  high minute volume         1.6 L/min
  low tidal volume           10 mL
  high tidal volume          28 mL
  high rate                  90 /min
  high leak                  50 %
  low SpO2                   90 % after 10 s
  high SpO2                  98 % after 20 s

targets
  expired tidal volume  4 to 6 mL/kg of birth weight
  SpO2                  92 to 97 %
  PaCO2                 5 to 6.7 kPa
  pH                    7.25 to 7.40

titration
  lower inspiratory pressure by 1 cmH2O every 10 min down to 20 cmH2O above ambient when expired tidal volume above 21 mL
  raise inspiratory pressure by 1 cmH2O every 10 min up to 26 cmH2O above ambient when expired tidal volume below 14 mL
  lower FiO2 by 0.05 every 15 min down to 0.3 when SpO2 above 97 % for 10 min
  call when  PaCO2 above 7.5 kPa or FiO2 above 70 % for 30 min

monitoring
  pulse oximeter, transcutaneous CO2, ECG, arterial line, oxygen analyser, expired volume monitor, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 6 Fr, spare tube same size, spare tube one size smaller, spare circuit, battery 30 min

escalation
  call "neonatal consultant on call" when SpO2 below 88 % for 3 min or pH below 7.2 or FiO2 above 70 % for 30 min
  ceiling "full intensive care, referral to a cardiorespiratory centre if the oxygen need keeps rising"
  gases at 1 h and 4 h

readings after change at 2026-11-23 09:40 by "bedside nurse"
  expired tidal volume   18 mL
  rate                   46 /min
  peak pressure          24 cmH2O
  PEEP                   5 cmH2O
  mean airway pressure   10.8 cmH2O
  minute volume          0.83 L/min
  FiO2                   60 %
  SpO2                   94 %
  PaO2                   8.0 kPa
  PaCO2                  6.2 kPa
  pH                     7.30
  heart rate             152 /min

checked 2026-11-23 10:05 by "neonatal registrar"

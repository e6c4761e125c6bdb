# Invented: a 25-week preterm newborn with respiratory distress syndrome, intubated for surfactant, volume-targeted ventilation.
# Nothing here is a recommendation. Tarnmoor Breathing Support Service does not exist.
# Starting settings after Klingenberg C et al., J Perinatol 2011;31:575-85 (4 to 6 mL/kg) and Sweet DG et al., Neonatology 2023;120:3-23
# (volume targeting, PEEP, SpO2 90 to 94 % with alarms at 89 and 95 %). 0.8 kg: 4 mL is 5 mL/kg, 3.2 to 4.8 mL is 4 to 6 mL/kg.
prescription "First day, preterm newborn, volume targeted"
  notation   1
  id         TM-4101
  revision   1
  status     active
  written    2026-11-23 06:20 by "neonatal registrar"
  review by  2026-11-24

patient
  age                    1 days
  gestation              25 weeks 2 days
  sex                    female
  length                 33 cm
  weight                 0.8 kg birth 2026-11-22
  indication             "respiratory distress syndrome, apnoea"
  diagnosis              respiratory distress syndrome
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thin
  spontaneous breathing  weak

airway
  interface  endotracheal tube uncuffed
  tube size  2.5 mm

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 120 cm, Y-piece, flow sensor 0.8 mL, endotracheal tube
  expiratory limb         tubing 120 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                          A/C-vtPC
  volume target                 4 mL allow 3.2 to 4.8 mL in steps of 0.4 mL
  maximum inspiratory pressure  24 cmH2O above ambient
  PEEP                          6 cmH2O allow 5 to 7 cmH2O in steps of 1 cmH2O
  rate                          50 /min
  inspiratory time              0.30 s
  rise time                     60 ms
  trigger                       flow, leak-compensated
  trigger sensitivity           0.2 L/min
  FiO2                          0.3 allow 0.21 to 0.5

oxygen
  pre-oxygenation  40 % for 30 s before suction

alarms
  disconnection             after 5 s
  apnoea                    after 10 s
  power loss                on
  low inspiratory pressure  9 cmH2O
  high inspiratory pressure 30 cmH2O
  low PEEP                  3 cmH2O
  low minute volume         0.12 L/min
  high minute volume        0.4 L/min
  low tidal volume          2.4 mL
  high tidal volume         6.4 mL
  high rate                 90 /min
  high leak                 50 %
  low SpO2                  89 % after 10 s
  high SpO2                 95 % after 20 s

targets
  expired tidal volume  4 to 6 mL/kg of birth weight
  SpO2                  90 to 94 %
  PaCO2                 5 to 7.5 kPa
  pH                    7.22 to 7.40

titration
  raise FiO2 by 0.03 every 2 min up to 0.5 when SpO2 below 90 % for 1 min
  lower FiO2 by 0.03 every 5 min down to 0.21 when SpO2 above 94 % for 5 min
  call when  FiO2 above 45 % for 30 min or pH below 7.22

monitoring
  pulse oximeter, transcutaneous CO2, ECG, oxygen analyser, expired volume monitor, blood gas analyser

equipment
  self-inflating bag, mask, suction, suction catheter 5 Fr, spare tube same size, plan for smallest tube, spare circuit, battery 30 min

escalation
  call "neonatal consultant on call" when pH below 7.22 or SpO2 below 85 % for 2 min or PaCO2 above 8 kPa
  ceiling "full intensive care"
  gases at 1 h and 4 h

checked 2026-11-23 06:50 by "senior neonatal nurse"

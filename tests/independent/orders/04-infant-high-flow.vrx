# Invented: a five-month-old with bronchiolitis on high flow.
# Starting settings after Franklin D et al., N Engl J Med 2018;378:1121-31: 2 L/kg/min, FiO2 for SpO2 of at least 92 %. 7 kg: 14 L/min.
prescription "High flow, infant with bronchiolitis"
  notation   1
  id         TM-4104
  revision   1
  status     active
  written    2026-11-23 02:15 by "paediatric registrar"
  review by  2026-11-24

patient
  age                    5 months
  gestation              39 weeks
  sex                    female
  length                 65 cm
  weight                 7 kg measured 2026-11-22
  indication             "bronchiolitis with hypoxaemia on low-flow oxygen"
  diagnosis              other
  hypercapnia risk       no
  place of care          ward
  hours ventilated       24 h/day
  secretions             copious
  spontaneous breathing  present

airway
  interface  nasal prongs

circuit
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, nasal prongs
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode             high flow
  gas flow         2 L/min/kg of measured weight
  gas temperature  37 degC
  FiO2             0.35 allow 0.21 to 0.5

alarms
  power loss  on
  apnoea      after 20 s
  high rate   75 /min
  low SpO2    90 % after 15 s

targets
  SpO2  92 to 97 %

titration
  lower FiO2 by 0.05 every 30 min down to 0.21 when SpO2 above 97 % for 15 min
  raise FiO2 by 0.05 every 10 min up to 0.5 when SpO2 below 92 % for 5 min
  call when  FiO2 above 40 % for 1 h

monitoring
  pulse oximeter, ECG, oxygen analyser

equipment
  self-inflating bag, mask, suction, suction catheter 8 Fr, oxygen cylinder 340 L

escalation
  call "paediatric intensive care team" when FiO2 above 40 % for 1 h or spontaneous rate above 70 /min for 30 min or SpO2 below 90 % for 5 min
  ceiling "full treatment, CPAP and intubation if needed"
  gases at 2 h

checked 2026-11-23 02:50 by "paediatric nurse in charge"

# Invented: a man with pneumonia on high flow, no hypercapnia.
# Starting settings after Frat JP et al., N Engl J Med 2015;372:2185-96: 50 L/min, FiO2 for SpO2 of at least 92 %.
prescription "High flow, adult with pneumonia"
  notation   1
  id         TM-4117
  revision   1
  status     active
  written    2026-11-23 15:00 by "intensive care registrar"
  review by  2026-11-24

patient
  age                    62 years
  sex                    male
  height                 172 cm
  weight                 75 kg measured 2026-11-23
  indication             "pneumonia, hypoxaemia without hypercapnia"
  diagnosis              other
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             thick
  spontaneous breathing  present

airway
  interface  nasal prongs

circuit
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, nasal prongs
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode             high flow
  gas flow         50 L/min allow 30 to 60 L/min in steps of 5 L/min
  gas temperature  37 degC
  FiO2             0.6 allow 0.3 to 0.7

alarms
  power loss  on
  high rate   35 /min
  low SpO2    90 % after 15 s
  high SpO2   98 % after 60 s

targets
  SpO2  92 to 96 %

titration
  lower FiO2 by 0.05 every 30 min down to 0.3 when SpO2 above 96 % for 15 min
  raise FiO2 by 0.05 every 10 min up to 0.7 when SpO2 below 92 % for 5 min
  call when  FiO2 above 65 % for 30 min or spontaneous rate above 32 /min for 30 min

monitoring
  pulse oximeter, ECG, oxygen analyser

equipment
  self-inflating bag, mask, suction, oxygen cylinder 680 L

escalation
  call "intensive care consultant" when FiO2 above 60 % for 1 h or spontaneous rate above 32 /min for 30 min or SpO2 below 90 % for 5 min
  ceiling "full treatment, intubation if the trial fails"
  gases at 2 h

readings after change at 2026-11-23 15:40 by "bedside nurse"
  spontaneous rate  26 /min
  FiO2              60 %
  SpO2              94 %
  PaO2              9.6 kPa
  PaCO2             4.6 kPa
  pH                7.44
  heart rate        104 /min

checked 2026-11-23 16:00 by "intensive care nurse in charge"

# Invented template: adults with acute lung injury, volume-controlled assist/control, lower-PEEP ladder.
# After the ARDS Network protocol and card (N Engl J Med 2000;342:1301-8): 4 to 8 mL/kg of predicted weight, plateau at most 30, rate at most 35,
# lower-PEEP / higher-FiO2 table, SpO2 88 to 95 %, PaO2 55 to 80 mmHg, pH 7.30 to 7.45.
template "Acute lung injury in adults, lower PEEP"
  notation   1
  id         tm-ards-lower-peep
  revision   2
  status     active
  replaces   tm-ards-lower-peep revision 1
  written    2026-11-02 10:00 by "intensive care consultant"
  approved   2026-11-04 15:00 by "intensive care ventilation group"
  review by  2027-11-02

patient
  age              at least 18 years
  height           150 to 200 cm
  diagnosis        acute lung injury
  place of care    intensive care
  hours ventilated 24 h/day

airway
  interface      endotracheal tube cuffed
  cuff           inflated
  cuff pressure  20 to 30 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter, closed suction, endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  36 to 37 degC

settings
  mode                 A/C-VC
  tidal volume         4 to 8 mL/kg of predicted weight
  rate                 14 to 35 /min
  inspiratory time     0.70 to 1.00 s
  inspiratory pause    up to 0.3 s
  trigger              flow
  trigger sensitivity  1 to 3 L/min
  FiO2                 0.3 to 1
  PEEP by FiO2
    30 % to 40 %   5 cmH2O
    40 % to 50 %   5 to 8 cmH2O
    50 % to 60 %   8 to 10 cmH2O
    60 % to 70 %   10 cmH2O
    70 % to 80 %   10 to 14 cmH2O
    80 % to 90 %   14 cmH2O
    90 % to 100 %  14 to 18 cmH2O
    100 %          18 to 24 cmH2O

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  high inspiratory pressure  35 to 45 cmH2O
  low minute volume          4 to 7 L/min
  high rate                  38 to 45 /min
  low SpO2                   85 to 87 % after 15 s
  high SpO2                  96 to 98 % after 60 s

targets
  plateau pressure  up to 30 cmH2O
  driving pressure  up to 15 cmH2O
  SpO2              88 to 95 %
  PaO2              7.3 to 10.7 kPa
  pH                7.30 to 7.45

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, expired volume monitor, cuff pressure gauge, blood gas analyser

equipment
  self-inflating bag, mask, suction

escalation
  call "intensive care consultant" when plateau pressure above 30 cmH2O or pH below 7.2 or SpO2 below 85 % for 3 min
  gases at 1 h and 4 h

checked 2026-11-03 11:00 by "critical care pharmacist and nurse educator"

# Slip: an end of a row was moved, and the next row was not. Found by: library.table-overlap
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
template "Lung-protective ventilation of an adult"
  notation   1
  id         lung-protective-overlap
  revision   7
  status     active
  written    2026-10-02 13:10 by "consultant, intensive care"
  approved   2026-10-20 14:40 by "intensive care guideline group"
  review by  2027-10-01

patient
  age                    at least 18 years
  sex                    female or male
  height                 145 to 200 cm
  indication             "acute hypoxaemic failure with an injured lung"
  diagnosis              acute lung injury
  hypercapnia risk       no
  place of care          intensive care
  hours ventilated       24 h/day
  secretions             none or thin
  spontaneous breathing  none or weak

airway
  interface      endotracheal tube cuffed
  tube size      7 to 8.5 mm
  cuff           inflated
  cuff pressure  20 to 30 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, flow sensor 8 mL, CO2 adapter 5 mL,
                          endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  36 to 38 degC

settings
  mode                 A/C-VC
  tidal volume         5 to 8 mL/kg of predicted weight
  rate                 16 to 28 /min
  inspiratory time     0.8 to 0.95 s
  inspiratory pause    0.2 to 0.3 s
  trigger              flow
  trigger sensitivity  1 to 3 L/min
  FiO2                 30 to 70 %
  PEEP by FiO2         # between the columns of the lower-PEEP table of the ARDS Network (N Engl J Med 2000;342:1301-8)
    30 % to 40 %       5 cmH2O
    40 % to 55 %       5 to 8 cmH2O
    50 % to 60 %       8 to 10 cmH2O
    60 % to 70 %       10 to 12 cmH2O
  # the volume alarms move with the breath that is set, so that neither sounds all day nor sleeps through a loss
  keep  alarm low minute volume is between 0.55 * expected minute volume and 0.8 * expected minute volume
  keep  alarm high minute volume is between 1.3 * expected minute volume and 2 * expected minute volume

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   14 cmH2O
  high inspiratory pressure  35 cmH2O
  low PEEP by FiO2
    30 % to 50 %             3 cmH2O
    50 % to 60 %             5 to 6 cmH2O
    60 % to 70 %             6 to 8 cmH2O
  low minute volume          1.5 to 14 L/min
  high minute volume         4 to 30 L/min
  high rate                  40 /min
  low SpO2                   86 %
  high SpO2                  97 %
  low EtCO2                  3.5 kPa
  high EtCO2                 8 kPa
  power loss                 on

targets
  plateau pressure  up to 30 cmH2O
  driving pressure  up to 15 cmH2O
  SpO2              88 to 95 %
  EtCO2             4 to 7 kPa
  PaCO2             4.5 to 8 kPa
  pH                7.3 to 7.45

monitoring
  pulse oximeter, capnograph, ECG, arterial line, oxygen analyser, cuff pressure gauge, expired volume monitor, blood gas analyser

escalation
  gases  at 1 h and 4 h
  call "intensive care consultant" when pH below 7.2 or SpO2 below 86 % for 5 min or plateau pressure above 30 cmH2O

equipment
  self-inflating bag, mask, suction, suction catheter 12 Fr

checked 2026-10-09 08:50 by "second checker, intensive care pharmacy"

# Slip: the times of the blood gases were left from the day the patient came. Found by: escalation.comfort-and-treating
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Mask support for breathlessness at the end of life, old adult"
  notation   1
  id         TM-0911
  revision   2
  status     active
  written    2026-11-20 17:40 by "consultant, respiratory medicine"
  review by  2027-01-04

patient
  age                    83 years
  sex                    female
  height                 154 cm
  weight                 44 kg measured 2026-11-16
  indication             "breathlessness in the last days of obstructive lung disease"
  diagnosis              obstructive
  hypercapnia risk       yes
  place of care          ward
  aim of care            comfort
  unaided up to          12 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  oronasal mask vented

circuit
  limb            single with leak port
  assembly        ventilator, filter, tubing 180 cm, anti-asphyxia valve, oronasal mask
  oxygen inlet    capped
  humidification  none

settings as needed
  mode                      S/T-PS
  EPAP                      4 cmH2O
  IPAP                      12 cmH2O allow 10 to 16 cmH2O
  back-up rate              12 /min
  inspiratory time          1 s
  minimum inspiratory time  0.5 s
  maximum inspiratory time  1.3 s
  rise time                 150 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 45 %
  FiO2                      28 % allow 21 to 40 %

alarms
  disconnection              off because "care for comfort; the mask comes off as she wishes"
  apnoea                     off because "care for comfort"
  high inspiratory pressure  25 cmH2O
  power loss                 on

escalation
  gases    at 1 h and 4 h
  ceiling  "comfort only: no breathing tube, no intensive care; the mask stays off when she asks"
  call "palliative care team, day and night"

equipment
  suction, spare mask

checked 2026-11-20 18:10 by "second checker, nurse in charge"

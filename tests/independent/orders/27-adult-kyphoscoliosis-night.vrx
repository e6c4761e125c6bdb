# Invented: a woman with severe kyphoscoliosis, nasal mask at night at home. Arm span stands in for height.
# Settings after Davidson AC et al. (BTS/ICS), Thorax 2016;71 Suppl 2:ii1-35 (severe kyphoscoliosis: IPAP above 20 may be needed; Ti 1.2 to 1.5 s;
# back-up 16 to 20; partly from memory).
prescription "Night support at home, kyphoscoliosis"
  notation   1
  id         TM-4127
  revision   9
  status     active
  replaces   TM-4127 revision 8
  written    2026-11-13 09:20 by "consultant, home ventilation"
  review by  2027-05-13

patient
  age                    58 years
  sex                    female
  height                 141 cm
  arm span               160 cm
  weight                 45 kg measured 2026-11-13
  indication             "severe kyphoscoliosis, night hypoventilation"
  diagnosis              chest wall
  hypercapnia risk       yes
  place of care          home
  hours ventilated       8 h/day
  unaided up to          16 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  nasal mask vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, nasal mask
  leak port flow          28 L/min at 10 cmH2O
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  30 degC

settings night from 23:00 to 07:00
  mode                      S/T-PS
  EPAP                      5 cmH2O
  IPAP                      21 cmH2O allow 18 to 24 cmH2O in steps of 1 cmH2O
  back-up rate              18 /min
  inspiratory time          1.20 s
  minimum inspiratory time  1.00 s
  maximum inspiratory time  1.40 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  cycle-off                 20 %

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   13 cmH2O after 15 s
  high inspiratory pressure  32 cmH2O
  low minute volume          3.5 L/min after 30 s
  high leak                  65 L/min after 30 s
  high rate                  40 /min
  low SpO2                   86 % after 30 s

targets
  expired tidal volume  5 to 8 mL/kg of predicted weight
  SpO2                  at least 90 %
  PaCO2                 4.7 to 6.3 kPa

monitoring
  pulse oximeter

equipment
  spare mask, spare circuit, battery 4 h

escalation
  call "home ventilation nurse, office hours" when SpO2 below 86 % for 10 min
  ceiling "full treatment by mask, intubation to be discussed"

checked 2026-11-13 12:00 by "respiratory physiologist"

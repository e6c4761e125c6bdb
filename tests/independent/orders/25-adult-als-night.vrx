# Invented: a woman with motor neurone disease (limb onset, good bulbar function), nasal pillows at night at home, room air.
# Settings after Davidson AC et al. (BTS/ICS), Thorax 2016;71 Suppl 2:ii1-35 (neuromuscular: pressure support 8 to 12, Ti 1.2 to 1.5 s) and
# Berry RB et al., J Clin Sleep Med 2010;6:491-509 (EPAP at least 4).
prescription "Night support at home, motor neurone disease"
  notation   1
  id         TM-4125
  revision   2
  status     active
  replaces   TM-4125 revision 1
  written    2026-11-19 11:30 by "consultant, home ventilation"
  review by  2027-02-19

patient
  age                    63 years
  sex                    female
  height                 164 cm
  weight                 54 kg measured 2026-11-19
  indication             "motor neurone disease, breathless lying flat, raised bicarbonate"
  diagnosis              neuromuscular
  hypercapnia risk       yes
  place of care          home
  hours ventilated       8.5 h/day
  unaided up to          15 h
  secretions             thin
  spontaneous breathing  weak

airway
  interface  nasal pillows vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, nasal pillows
  leak port flow          28 L/min at 10 cmH2O
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  30 degC

settings night from 22:30 to 07:00
  mode                      S/T-PS
  EPAP                      4 cmH2O
  IPAP                      14 cmH2O allow 12 to 16 cmH2O in steps of 1 cmH2O
  back-up rate              15 /min
  inspiratory time          1.30 s
  minimum inspiratory time  1.00 s
  maximum inspiratory time  1.50 s
  rise time                 250 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 20 %

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   8 cmH2O after 15 s
  high inspiratory pressure  25 cmH2O
  low minute volume          3 L/min after 30 s
  high leak                  60 L/min after 30 s
  high rate                  35 /min
  low SpO2                   88 % after 30 s

targets
  expired tidal volume  6 to 9 mL/kg of predicted weight
  SpO2                  at least 92 %
  PaCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter

equipment
  spare mask, spare circuit, suction, insufflation-exsufflation device, battery 4 h

escalation
  call "home ventilation nurse, office hours" when SpO2 below 88 % for 10 min
  ceiling "mask ventilation and comfort, no tracheostomy, written in advance by the patient"

checked 2026-11-19 14:40 by "specialist physiotherapist, home ventilation"

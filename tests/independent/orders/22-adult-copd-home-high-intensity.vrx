# Invented: a man with stable hypercapnic COPD, high-intensity mask ventilation at home at night with low-flow oxygen.
# Settings after Koehnlein T et al., Lancet Respir Med 2014;2:698-705, and the means of the high-intensity arm in the ERS review in Breathe
# (IPAP 23.6, EPAP 5.4, rate 15.4; I:E 1:2 or lower). SpO2 88 to 92 %: BTS, Thorax 2017;72 Suppl 1:ii1-90.
prescription "Night support at home, stable hypercapnic COPD"
  notation   1
  id         TM-4122
  revision   3
  status     active
  replaces   TM-4122 revision 2
  written    2026-11-17 14:00 by "consultant, home ventilation"
  review by  2027-02-17

patient
  age                    66 years
  sex                    male
  height                 175 cm
  weight                 68 kg measured 2026-11-16
  indication             "stable hypercapnic COPD, PaCO2 7.4 kPa by day"
  diagnosis              obstructive
  hypercapnia risk       yes
  place of care          home
  hours ventilated       8 h/day
  unaided up to          16 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  oronasal mask non-vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, leak port, anti-asphyxia valve, oronasal mask
  leak port flow          25 L/min at 10 cmH2O
  oxygen inlet            in use
  humidification          heated humidifier
  humidifier temperature  30 degC

settings night from 22:30 to 06:30
  mode                      S/T-PS
  EPAP                      5 cmH2O
  IPAP                      24 cmH2O allow 20 to 25 cmH2O in steps of 1 cmH2O
  back-up rate              16 /min
  inspiratory time          1.10 s
  minimum inspiratory time  0.80 s
  maximum inspiratory time  1.30 s
  rise time                 150 ms
  trigger                   flow, leak-compensated
  cycle-off                 40 %

oxygen
  flow  2 L/min at ventilator inlet allow 1 to 4 L/min in steps of 0.5 L/min

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   14 cmH2O after 15 s
  high inspiratory pressure  32 cmH2O
  low minute volume          4 L/min after 30 s
  high leak                  70 L/min after 30 s
  high rate                  35 /min
  low SpO2                   84 % after 60 s

targets
  expired tidal volume  7 to 10 mL/kg of predicted weight
  SpO2                  88 to 92 %
  PaCO2                 5 to 6.4 kPa

monitoring
  pulse oximeter

equipment
  spare mask, spare circuit

escalation
  call "home ventilation nurse, office hours; ambulance when drowsy" when SpO2 below 84 % for 15 min
  ceiling "mask ventilation in hospital, no intubation"

readings after change at 2026-11-17 06:30 by "respiratory physiologist"
  expired tidal volume  590 mL
  rate                  17 /min
  total leak            36 L/min
  SpO2                  91 %
  PaCO2                 6.2 kPa
  pH                    7.39

checked 2026-11-17 15:10 by "specialist nurse, home ventilation"

# Invented template: adults with an acute hypercapnic exacerbation of COPD, mask ventilation with an exhalation port.
# After Davidson AC et al. (BTS/ICS), Thorax 2016;71 Suppl 2:ii1-35 (figures partly from memory); EPAP 4 and not 3 for the exhalation port
# (AASM, J Clin Sleep Med 2008;4:157-71).
template "Acute mask ventilation in COPD"
  notation   1
  id         tm-copd-acute-niv
  revision   3
  status     active
  replaces   tm-copd-acute-niv revision 2
  written    2026-11-03 09:00 by "respiratory consultant"
  approved   2026-11-05 16:00 by "acute mask ventilation group"
  review by  2027-11-03

patient
  age               at least 18 years
  diagnosis         obstructive
  hypercapnia risk  yes
  place of care     ward or intensive care

airway
  interface  oronasal mask vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, anti-asphyxia valve, oronasal mask
  leak port flow          25 to 40 L/min at 10 cmH2O
  humidification          heated humidifier
  humidifier temperature  30 to 32 degC

settings
  mode                      S/T-PS
  EPAP                      4 to 8 cmH2O
  IPAP                      15 to 30 cmH2O
  back-up rate              16 to 20 /min
  inspiratory time          0.80 to 1.20 s
  minimum inspiratory time  0.50 to 0.80 s
  maximum inspiratory time  1.00 to 1.40 s
  rise time                 100 to 200 ms
  trigger                   flow, leak-compensated
  cycle-off                 30 to 50 %
  FiO2                      0.21 to 0.6
  keep                      IPAP - EPAP >= 10 cmH2O

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   10 to 12 cmH2O after 15 s
  high inspiratory pressure  30 to 40 cmH2O
  low minute volume          3 to 5 L/min after 20 s
  high rate                  35 to 40 /min
  low SpO2                   84 to 87 % after 30 s
  high SpO2                  93 to 94 % after 60 s

targets
  SpO2  88 to 92 %
  pH    7.35 to 7.45

titration
  raise IPAP by 2 cmH2O every 10 min up to 30 cmH2O when spontaneous rate above 24 /min or pH below 7.35
  call when  pH below 7.25

monitoring
  pulse oximeter, ECG, leak monitor, blood gas analyser

equipment
  spare mask, suction, self-inflating bag, mask

escalation
  call "respiratory consultant on call" when pH below 7.25 or SpO2 below 85 % for 5 min
  gases at 1 h and 4 h

checked 2026-11-04 10:30 by "respiratory specialist nurse"

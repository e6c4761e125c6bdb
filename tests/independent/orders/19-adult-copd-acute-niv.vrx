# Invented: a man with an acute hypercapnic exacerbation of COPD, mask ventilation on the respiratory ward.
# Settings after Davidson AC et al. (BTS/ICS), Thorax 2016;71 Suppl 2:ii1-35 (IPAP 15 rising in 10 to 30 min to 20 to 30, back-up rate 16 to 20,
# Ti 0.8 to 1.2 s, SpO2 88 to 92 %); EPAP 4 rather than 3 because the exhalation port needs it (AASM, J Clin Sleep Med 2008;4:157-71).
prescription "Acute mask ventilation, COPD"
  notation   1
  id         TM-4119
  revision   1
  status     active
  follows    tm-copd-acute-niv revision 3
  written    2026-11-23 16:10 by "respiratory registrar"
  review by  2026-11-24

patient
  age                    68 years
  sex                    male
  height                 172 cm
  weight                 70 kg measured 2026-11-23
  indication             "acute hypercapnic exacerbation of COPD, pH 7.27"
  diagnosis              obstructive
  hypercapnia risk       yes
  place of care          ward
  hours ventilated       20 h/day
  secretions             thick
  spontaneous breathing  present

airway
  interface  oronasal mask vented

circuit
  limb                    single with leak port
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, anti-asphyxia valve, oronasal mask
  leak port flow          32 L/min at 10 cmH2O
  humidification          heated humidifier
  humidifier temperature  31 degC

settings
  mode                      S/T-PS
  EPAP                      4 cmH2O
  IPAP                      15 cmH2O allow 15 to 24 cmH2O in steps of 1 cmH2O
  back-up rate              16 /min
  inspiratory time          1.00 s
  minimum inspiratory time  0.60 s
  maximum inspiratory time  1.20 s
  rise time                 150 ms
  trigger                   flow, leak-compensated
  cycle-off                 40 %
  FiO2                      0.28 allow 0.21 to 0.4

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  power loss                 on
  low inspiratory pressure   10 cmH2O after 15 s
  high inspiratory pressure  32 cmH2O
  low minute volume          4 L/min after 20 s
  low tidal volume           250 mL after 20 s
  high leak                  70 L/min after 30 s
  high rate                  36 /min
  low SpO2                   86 % after 30 s
  high SpO2                  93 % after 60 s

targets
  expired tidal volume  6 to 8 mL/kg of predicted weight
  SpO2                  88 to 92 %
  pH                    7.35 to 7.45

titration
  raise IPAP by 2 cmH2O every 10 min up to 24 cmH2O when spontaneous rate above 24 /min
  raise FiO2 by 0.04 every 10 min up to 0.4 when SpO2 below 88 % for 5 min
  lower FiO2 by 0.04 every 10 min down to 0.21 when SpO2 above 92 % for 5 min
  stop when  expired tidal volume above 550 mL
  call when  pH below 7.25

monitoring
  pulse oximeter, ECG, leak monitor, blood gas analyser

equipment
  spare mask, suction, self-inflating bag, mask, oxygen cylinder 680 L

escalation
  call "respiratory consultant on call" when pH below 7.25 or SpO2 below 85 % for 5 min or spontaneous rate above 32 /min for 30 min
  ceiling "intubation to be discussed with intensive care, patient wishes it"
  gases at 1 h and 4 h

readings before change at 2026-11-23 15:40 by "emergency department nurse"
  spontaneous rate  30 /min
  FiO2              28 %
  SpO2              89 %
  PaO2              7.4 kPa
  PaCO2             9.1 kPa
  pH                7.27
  heart rate        112 /min

checked 2026-11-23 16:30 by "respiratory specialist nurse"

# Invented: a four-year-old with congenital central hypoventilation, tracheostomy, ventilated whenever asleep, at home.
# Targets after Weese-Mayer DE et al. (American Thoracic Society), Am J Respir Crit Care Med 2010;181:626-44: EtCO2 ideally 35 to 40 mmHg, SpO2 at least 95 %.
# Settings themselves: common practice, no published source. Equipment after Sterni LM et al., Am J Respir Crit Care Med 2016;193:e16-35.
prescription "Ventilation whenever asleep, child with central hypoventilation"
  notation   1
  id         TM-4111
  revision   7
  status     active
  replaces   TM-4111 revision 6
  written    2026-11-09 09:45 by "consultant, paediatric long-term ventilation"
  review by  2027-03-09

patient
  age                    4 years 1 months
  sex                    male
  height                 103 cm
  weight                 16.5 kg measured 2026-11-09
  indication             "congenital central hypoventilation, no safe breathing when asleep"
  diagnosis              central hypoventilation
  place of care          home
  hours ventilated       12 h/day
  unaided up to          14 h
  secretions             thin
  spontaneous breathing  weak

airway
  interface  tracheostomy uncuffed
  tube size  4.5 mm

circuit
  limb                    single with exhalation valve
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, exhalation valve, CO2 adapter 2 mL, tracheostomy tube
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings asleep
  mode                  A/C-PC
  inspiratory pressure  18 cmH2O above ambient allow 16 to 20 cmH2O in steps of 1 cmH2O
  PEEP                  4 cmH2O
  rate                  20 /min
  inspiratory time      0.90 s
  rise time             100 ms
  trigger               flow, leak-compensated
  trigger sensitivity   1 L/min

oxygen
  pre-oxygenation  100 % for 30 s before suction

alarms asleep
  disconnection              after 10 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   14 cmH2O after 5 s
  high inspiratory pressure  28 cmH2O
  low minute volume          1.7 L/min
  high minute volume         5 L/min
  low tidal volume           80 mL
  high tidal volume          220 mL
  high rate                  40 /min
  low SpO2                   92 % after 10 s
  low EtCO2                  3.8 kPa
  high EtCO2                 6.3 kPa

targets
  expired tidal volume  7 to 10 mL/kg of measured weight
  SpO2                  at least 95 %
  EtCO2                 4.7 to 5.3 kPa

monitoring
  pulse oximeter, capnograph, expired volume monitor

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 8 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit, battery 4 h, external battery 8 h, second ventilator, spare circuit, oxygen cylinder 340 L, pulse oximeter, capnograph

escalation
  call "on-call paediatric long-term ventilation nurse" when EtCO2 above 6.3 kPa for 10 min or SpO2 below 92 % for 3 min
  ceiling "full treatment"

readings after change at 2026-11-09 08:30 by "paediatric respiratory physiologist"
  expired tidal volume  135 mL
  rate                  20 /min
  peak pressure         18 cmH2O
  minute volume         2.7 L/min
  SpO2                  98 %
  EtCO2                 5.0 kPa

checked 2026-11-09 13:15 by "specialist nurse, long-term ventilation"

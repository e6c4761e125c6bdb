# Invented: an infant born at 26 weeks with chronic lung disease, tracheostomy, going home on the ventilator at night and for one nap.
# Settings: common practice, no published source; home equipment and the awake carer after Sterni LM et al., Am J Respir Crit Care Med 2016;193:e16-35.
# The low-pressure alarm alone does not find a decannulation with a small tube (Kun SS et al., Chest 2001;119:562-4): volume and SpO2 alarms stand beside it.
prescription "Home ventilation at night and for the nap, infant with tracheostomy"
  notation   1
  id         TM-4105
  revision   3
  status     active
  replaces   TM-4105 revision 2
  written    2026-11-16 11:00 by "consultant, paediatric long-term ventilation"
  review by  2027-01-16

patient
  age                    11 months
  corrected age          8 months
  gestation              26 weeks 1 days
  sex                    male
  length                 68 cm
  weight                 7.6 kg measured 2026-11-14
  indication             "chronic lung disease of infancy, failed weaning"
  diagnosis              chronic lung disease of infancy
  place of care          home
  hours ventilated       14 h/day
  unaided up to          6 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  tracheostomy uncuffed
  tube size  3.5 mm

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter 1 mL, tracheostomy tube
  expiratory limb         tubing 160 cm, water trap, filter
  oxygen inlet            in use
  humidification          heated humidifier
  humidifier temperature  37 degC

settings sleep from 19:00 to 07:00 and 12:00 to 14:00
  mode                  A/C-PC
  inspiratory pressure  20 cmH2O above ambient
  PEEP                  8 cmH2O
  rate                  25 /min
  inspiratory time      0.60 s
  rise time             100 ms
  trigger               flow, leak-compensated
  trigger sensitivity   0.5 L/min

oxygen
  flow             0.5 L/min at ventilator inlet allow 0.25 to 1 L/min
  pre-oxygenation  50 % for 30 s before suction

alarms
  disconnection              after 5 s
  apnoea                     after 15 s
  power loss                 on
  low inspiratory pressure   16 cmH2O after 5 s
  high inspiratory pressure  30 cmH2O
  low PEEP                   5 cmH2O
  low minute volume          0.9 L/min
  high minute volume         3.5 L/min
  low tidal volume           35 mL
  high tidal volume          100 mL
  high rate                  60 /min
  low SpO2                   90 % after 10 s

targets
  expired tidal volume  6 to 9 mL/kg of measured weight
  SpO2                  93 to 98 %
  EtCO2                 4.7 to 6.5 kPa

monitoring
  pulse oximeter, capnograph, expired volume monitor

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 6 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit, battery 4 h, external battery 8 h, second ventilator, spare circuit, oxygen cylinder 680 L, pulse oximeter, capnograph

escalation
  call "on-call paediatric long-term ventilation nurse" when SpO2 below 90 % for 5 min or EtCO2 above 7.5 kPa for 15 min
  ceiling "full treatment, ambulance for a tube that cannot be replaced"

readings after change at 2026-11-16 09:30 by "paediatric respiratory physiologist"
  expired tidal volume  58 mL
  rate                  32 /min
  peak pressure         20 cmH2O
  minute volume         1.86 L/min
  SpO2                  96 %
  EtCO2                 5.6 kPa

checked 2026-11-16 14:30 by "specialist nurse, long-term ventilation"

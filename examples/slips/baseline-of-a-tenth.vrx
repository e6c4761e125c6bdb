# Slip: PEEP has its point one place too far to the left. Found by: pressure.baseline-tiny
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Day and night by the smallest tracheostomy, young infant with a weak windpipe"
  notation   1
  id         TM-1217
  revision   2
  status     active
  written    2026-11-10 11:15 by "consultant nurse, children's home ventilation"
  review by  2027-01-12

patient
  age                    3 months
  sex                    male
  height                 58 cm
  weight                 5.1 kg measured 2026-11-09
  indication             "soft and narrow windpipe, tracheostomy in the first month"
  diagnosis              tracheomalacia
  place of care          home
  hours ventilated       22 h/day
  unaided up to          2 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  tracheostomy uncuffed
  tube size  2.5 mm

circuit
  limb                    single with exhalation valve
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, exhalation valve, CO2 adapter 1 mL, tracheostomy tube
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  PEEP                  0.6 cmH2O
  inspiratory pressure  18 cmH2O above ambient
  rate                  30 /min
  inspiratory time      0.5 s
  rise time             80 ms
  trigger               flow, leak-compensated
  trigger sensitivity   0.3 L/min

alarms
  disconnection              after 5 s
  apnoea                     after 10 s
  low inspiratory pressure   15 cmH2O  # less than 4 under the peak, for so small a tube
  high inspiratory pressure  28 cmH2O
  low minute volume          0.6 L/min
  high minute volume         2.2 L/min
  high rate                  60 /min
  low SpO2                   92 %
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph

escalation
  call "on-call home ventilation team" when SpO2 below 92 % for 2 min or EtCO2 above 7 kPa for 5 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 6 Fr, spare tube same size, plan for smallest tube
  tracheostomy emergency kit, battery 4 h, external battery 6 h, second ventilator, spare circuit, oxygen cylinder

checked 2026-11-10 14:20 by "second checker, children's pharmacy"

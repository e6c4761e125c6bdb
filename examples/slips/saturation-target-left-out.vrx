# Slip: the target of SpO2 was lost; the oximeter watches, and nothing says what is wanted. Found by: monitoring.saturation-target
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Support asleep by tracheostomy, infant born early"
  notation   1
  id         TM-1155
  revision   2
  status     active
  written    2026-11-04 10:50 by "consultant nurse, children's home ventilation"
  review by  2027-01-29

patient
  age                    11 months
  corrected age          8 months
  gestation              27 weeks 2 days
  sex                    male
  height                 70 cm
  weight                 8.1 kg measured 2026-11-03
  indication             "lung disease of children born early, tracheostomy at the age of five months"
  diagnosis              chronic lung disease of infancy
  place of care          home
  hours ventilated       14 h/day
  unaided up to          5 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  tracheostomy uncuffed
  tube size  4.0 mm

circuit
  limb                    single with leak port
  leak port flow          20 L/min at 10 cmH2O
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, leak port, CO2 adapter 2 mL, tracheostomy tube
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings asleep
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  18 cmH2O above ambient
  rate                  26 /min
  inspiratory time      0.6 s
  rise time             80 ms
  trigger               flow, leak-compensated
  trigger sensitivity   0.5 L/min

alarms
  disconnection              after 10 s
  apnoea                     after 15 s
  low inspiratory pressure   15 cmH2O  # less than 4 under the peak, for so small a tube
  high inspiratory pressure  28 cmH2O
  low minute volume          0.9 L/min
  high minute volume         3 L/min
  high rate                  50 /min
  low SpO2                   92 %
  power loss                 on

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  total leak            12 to 35 L/min
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph

escalation
  call "on-call home ventilation team" when SpO2 below 92 % for 2 min or EtCO2 above 7 kPa for 5 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, battery suction, suction catheter 8 Fr, spare tube same size, spare tube one size smaller
  tracheostomy emergency kit, battery 9 h, second ventilator, spare circuit, oxygen cylinder

checked 2026-11-04 13:10 by "second checker, children's pharmacy"

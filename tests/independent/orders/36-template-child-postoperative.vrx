# Invented template: children from one to twelve years with healthy lungs after an operation, pressure-controlled assist/control.
# After Kneyber MCJ et al., Intensive Care Med 2017;43:1764-80 (PEEP 3 to 5, driving pressure not above 10 to 12 with healthy lungs, volume not above
# 10 mL/kg); rates and inspiratory times by age: common practice, no published source.
template "Ventilation after an operation, children with healthy lungs"
  notation   1
  id         tm-child-postoperative
  revision   1
  status     active
  written    2026-11-09 09:00 by "paediatric intensive care consultant"
  approved   2026-11-11 14:00 by "paediatric intensive care group"
  review by  2027-11-09

patient
  age               1 to 12 years
  weight            8 to 45 kg
  diagnosis         normal lungs
  place of care     intensive care
  hours ventilated  24 h/day

airway
  interface      endotracheal tube cuffed
  cuff           inflated
  cuff pressure  15 to 25 cmH2O

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 160 cm, Y-piece, CO2 adapter, endotracheal tube
  expiratory limb         tubing 160 cm, water trap, filter
  humidification          heated humidifier
  humidifier temperature  36 to 37 degC

settings
  mode                  A/C-PC
  inspiratory pressure  8 to 12 cmH2O above PEEP
  PEEP                  4 to 5 cmH2O
  rise time             80 to 150 ms
  trigger               flow
  trigger sensitivity   0.5 to 2 L/min
  FiO2                  0.21 to 0.4
  rate by age
    1 to 3 years       22 to 28 /min
    3 to 6 years       18 to 24 /min
    6 to 12 years      16 to 20 /min
  inspiratory time by age
    1 to 3 years       0.60 to 0.70 s
    3 to 6 years       0.70 to 0.80 s
    6 to 12 years      0.80 to 1.00 s

oxygen
  pre-oxygenation  100 % for 60 s before suction

alarms
  disconnection              after 5 s
  apnoea                     after 15 s
  power loss                 on
  high inspiratory pressure  25 to 28 cmH2O
  low inspiratory pressure   8 to 10 cmH2O
  low PEEP                   2 to 3 cmH2O
  low minute volume          0.08 L/min/kg of measured weight
  low tidal volume           4 mL/kg of measured weight
  high tidal volume          10 mL/kg of measured weight
  low SpO2                   91 to 92 % after 10 s
  high EtCO2                 7 kPa
  low EtCO2                  4 kPa

targets
  expired tidal volume  6 to 8 mL/kg of measured weight
  SpO2                  94 to 98 %
  EtCO2                 4.7 to 6 kPa

monitoring
  pulse oximeter, capnograph, ECG, oxygen analyser, expired volume monitor, cuff pressure gauge

equipment
  self-inflating bag, mask, suction, spare tube same size, spare tube one size smaller

escalation
  call "paediatric intensive care consultant" when SpO2 below 90 % for 3 min or EtCO2 above 7.5 kPa for 10 min
  gases at 1 h

checked 2026-11-10 10:00 by "senior nurse, paediatric intensive care"

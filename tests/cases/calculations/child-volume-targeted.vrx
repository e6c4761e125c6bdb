# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# A child with height and weight: growth, the weights that methods expect, and a volume by a weight.
prescription "Volume-targeted breaths, boy of six"
  notation     1
  id           TM-0722
  revision     1
  status       active
  written      2026-11-20 10:00 by "registrar, children's intensive care"
  valid until  2026-11-27

patient
  age            6 years 6 months
  sex            male
  height         116 cm
  weight         23 kg measured 2026-11-19
  diagnosis      normal lungs
  place of care  intensive care
  compliance     20 mL/cmH2O
  resistance     20 cmH2O/(L/s)

airway
  interface  endotracheal tube cuffed
  tube size  5.5 mm
  cuff       inflated

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, Y-piece, flow sensor 5 mL, CO2 adapter 4 mL, endotracheal tube
  expiratory limb         tubing 150 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                          SIMV-vtPC with PS
  PEEP                          5 cmH2O
  volume target                 7 mL/kg of measured weight
  maximum inspiratory pressure  22 cmH2O above ambient
  pressure support              10 cmH2O above PEEP
  rate                          18 /min
  inspiratory time              0.8 s
  FiO2                          30 %

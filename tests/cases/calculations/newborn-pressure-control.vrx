# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# A newborn at term with stated mechanics: short times, small volumes, and charts read in the first days.
prescription "Pressure control, newborn at term"
  notation     1
  id           TM-0723
  revision     1
  status       active
  written      2026-11-20 10:00 by "registrar, newborn care"
  valid until  2026-11-27

patient
  age            3 days
  gestation      39 weeks 2 days
  sex            female
  height         50 cm
  weight         3.2 kg measured 2026-11-20
  diagnosis      meconium aspiration
  place of care  intensive care
  compliance     2 mL/cmH2O
  resistance     60 cmH2O/(L/s)
  expiratory resistance  90 cmH2O/(L/s)

airway
  interface  endotracheal tube uncuffed
  tube size  3.5 mm

circuit
  limb                    dual
  assembly                ventilator, filter, heated humidifier, tubing 150 cm, Y-piece, flow sensor 0.8 mL, CO2 adapter 0.5 mL, endotracheal tube
  expiratory limb         tubing 150 cm, water trap, filter
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  PEEP                  5 cmH2O
  inspiratory pressure  14 cmH2O above PEEP
  rate                  40 /min
  inspiratory time      0.35 s
  FiO2                  40 %

readings at 2026-11-20 12:00 by "bedside nurse"
  mean airway pressure  8 cmH2O
  SpO2                  94 %
  PaO2                  8.5 kPa
  PaCO2                 6 kPa

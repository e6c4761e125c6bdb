# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
# An adult with stated mechanics on pressure control, on a leak circuit, with oxygen for a transfer and two sets of readings.
prescription "Pressure control with stated mechanics, adult"
  notation     1
  id           TM-0721
  revision     1
  status       active
  written      2026-11-20 10:00 by "registrar, intensive care"
  valid until  2026-11-27

patient
  age            55 years
  sex            male
  height         175 cm
  weight         82 kg measured 2026-11-19
  diagnosis      acute lung injury
  place of care  intensive care
  compliance     40 mL/cmH2O
  resistance     10 cmH2O/(L/s)

airway
  interface  tracheostomy cuffed
  tube size  8.0 mm
  cuff       inflated

circuit
  limb                    single with leak port
  leak port flow          30 L/min at 10 cmH2O
  assembly                ventilator, filter, heated humidifier, tubing 180 cm, leak port, CO2 adapter 5 mL, tracheostomy tube
  oxygen inlet            capped
  humidification          heated humidifier
  humidifier temperature  37 degC

settings
  mode                  A/C-PC
  PEEP                  8 cmH2O
  inspiratory pressure  20 cmH2O above ambient
  rate                  20 /min
  inspiratory time      1 s
  FiO2                  50 %

oxygen
  cylinder   1000 L
  cylinders  2
  transfer   60 min

targets
  SpO2   88 to 95 %
  PaCO2  5 to 6 kPa

readings before change at 2026-11-20 08:00 by "bedside nurse"
  plateau pressure      19 cmH2O
  total PEEP            8 cmH2O
  mean airway pressure  12 cmH2O
  rate                  20 /min
  SpO2                  90 %
  PaCO2                 7.2 kPa
  PaO2                  8 kPa
  FiO2                  60 %

readings after change at 2026-11-20 11:00 by "bedside nurse"
  SpO2   94 %
  PaCO2  6.6 kPa
  PaO2   9.6 kPa

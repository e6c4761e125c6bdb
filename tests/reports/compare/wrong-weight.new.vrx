prescription "Volume control, carbon dioxide high"
  id        TM-0901
  revision  2
  status    active
  written   2026-11-23 07:00 by "registrar"

patient
  age     49 years
  sex     female
  height  165 cm
  weight  82 kg measured 2026-11-21

airway
  interface  endotracheal tube cuffed

settings
  mode              A/C-VC
  PEEP              8 cmH2O
  tidal volume      6 mL/kg of measured weight
  rate              20 /min
  inspiratory time  0.9 s
  FiO2              0.45

alarms
  disconnection        after 10 s
  low minute volume    4 L/min

readings at 2026-11-23 06:00 by "nurse"
  PaCO2  7.2 kPa

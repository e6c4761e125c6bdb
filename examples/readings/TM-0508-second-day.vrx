# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
readings for TM-0508 revision 3

readings at 2026-11-20 08:00 by "bedside nurse, intensive care"
  expired tidal volume  335 mL
  peak pressure         26 cmH2O
  plateau pressure      20 cmH2O
  total PEEP            10 cmH2O
  SpO2                  93 %
  EtCO2                 5.4 kPa

readings at 2026-11-20 12:00 by "bedside nurse, intensive care"
  expired tidal volume  340 mL
  peak pressure         27 cmH2O
  plateau pressure      21 cmH2O
  total PEEP            10 cmH2O
  SpO2                  92 %
  EtCO2                 5.6 kPa

readings at 2026-11-20 16:00 by "bedside nurse, intensive care"
  expired tidal volume  330 mL
  peak pressure         31 cmH2O
  plateau pressure      25 cmH2O
  total PEEP            10 cmH2O
  SpO2                  90 %
  EtCO2                 6.2 kPa

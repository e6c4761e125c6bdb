# packs: notation relation mode pressure timing
prescription "What looks like something else"
settings
  РEEP 5 cmH2O
  rate 20 /min
  inspiratory time 1​.2 s
  inspiratory pressure 17 cmH20 above ambient
  FiO2 ‮04 %
patient
  indication "Überwachung, naïve 𝄞"  3

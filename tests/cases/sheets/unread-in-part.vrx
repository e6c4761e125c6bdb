# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "An order with lines that nobody can read"
  id        TM-9102

settings
  mode      A/C-PC
  PEEP      5
  rate      1O /min
  <b onclick="x">inspiratory time</b> 1 s
somewhere else
  rate  20 /min

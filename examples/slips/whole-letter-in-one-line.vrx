# Slip: a whole letter of the clinic was pasted into the indication. Found by: notation.line-too-long
# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Night support by nasal mask, adult known for years"
  notation   1
  id         TM-0969
  revision   1
  status     active
  written    2026-11-05 10:10 by "consultant nurse, home ventilation"
  review by  2027-02-12

patient
  age                    59 years
  sex                    female
  height                 164 cm
  weight                 61 kg measured 2026-11-05
  indication             "hypoventilation asleep in muscular dystrophy. Letter of the sleep clinic of the Tarnmoor Breathing Support Service, invented demo data: this patient was first seen in the autumn of 2019, at that time with restless nights, headaches on waking and two chest infections in one winter. A recording over night in the following spring showed a saturation below ninety for a third of the night and carbon dioxide that rose towards the morning. Support by nasal mask was started in the ward, at first for four hours, after a week for the whole night. The first mask left a sore on the bridge of the nose; with another size it healed within ten days. A leak at the mouth was heard and seen in the recordings, and a chin strap was tried and given up again. From the second month on the headaches were gone. In the summer of 2021 a cough became weak, breath stacking was taught to the family, and a device for clearing secretions was lent by the service and has been kept since. Swallowing was looked at in the same year and found safe for soft food; the dietician has seen the patient every six months. In 2023 a fall at home led to a broken wrist, which was treated with a plaster. The heart has been examined every year and shows a mild weakness of the left side, for which two medicines are taken. In the winter of 2024 a pneumonia was treated at home with tablets, support was used for sixteen hours a day for nine days and then for the night alone again. The family has two ventilators of the same kind, of which one stays packed. The alarm of the ventilator is heard in the next room through a remote alarm that the house owner has put in. A carer trained by the service stays every second night. The patient wishes to be treated in a hospital if an infection becomes severe, and has written this down together with the family. The last recording, of this October, shows a saturation above ninety-four for all of the night and carbon dioxide in the normal range. No change of the settings is needed for now. The next visit is planned for February, with a recording at home in the week before it. With kind regards, the sleep clinic. Copies to the family doctor, to the community nurse and to the school of the patient's daughter for the plan in an emergency."
  diagnosis              neuromuscular
  place of care          home
  hours ventilated       9 h/day
  unaided up to          12 h
  secretions             thin
  spontaneous breathing  present

airway
  interface  nasal mask non-vented

circuit
  limb            single with leak port
  leak port flow  32 L/min at 10 cmH2O
  assembly        ventilator, filter, heated humidifier, tubing 180 cm, leak port, nasal mask
  oxygen inlet    capped
  humidification  heated humidifier

settings night from 22:30 to 07:30
  mode                      S/T-PS
  EPAP                      4 cmH2O
  IPAP                      16 cmH2O allow 14 to 20 cmH2O in steps of 1 cmH2O
  back-up rate              14 /min allow 14 to 16 /min
  inspiratory time          1.3 s
  minimum inspiratory time  0.8 s
  maximum inspiratory time  1.6 s
  rise time                 200 ms
  trigger                   flow, leak-compensated
  trigger sensitivity       1 L/min
  cycle-off                 25 %

alarms
  disconnection              after 15 s
  apnoea                     after 20 s
  low inspiratory pressure   10 cmH2O
  high inspiratory pressure  25 cmH2O
  low minute volume          3.5 L/min
  high minute volume         15 L/min
  high rate                  34 /min
  low SpO2                   90 %
  power loss                 on

targets
  total leak  20 to 55 L/min
  SpO2        94 to 98 %
  PaCO2       4.7 to 6 kPa

titration
  raise IPAP by 1 cmH2O every 20 min up to 20 cmH2O above ambient when SpO2 below 94 % for 20 min

monitoring
  pulse oximeter, transcutaneous CO2

escalation
  call "home ventilation nurse on call" when SpO2 below 90 % for 10 min
  call "ventilator breakdown line, open day and night"

equipment
  self-inflating bag, mask, suction, insufflation-exsufflation device, spare mask, spare circuit

readings after change at 2026-11-06 06:40 by "sleep physiologist"
  expired tidal volume  420 mL
  rate                  16 /min
  minute volume         6.7 L/min
  peak pressure         16 cmH2O
  PEEP                  4 cmH2O
  total leak            31 L/min
  SpO2                  95 %

checked 2026-11-06 11:00 by "second checker, physiotherapy"

/** A sound order to look at, of the invented service of the examples. Its dates lie around the day that dates are judged on. */

const DAY_MS = 86_400_000;

/** The day some days after another, both as YYYY-MM-DD. */
export function daysAfter(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * DAY_MS).toISOString().slice(0, 10);
}

/** The order as it would lie on the desk on a day. */
export function exampleOn(day: string): string {
  const before = (days: number): string => daysAfter(day, -days);
  return `# Invented demo data: the Tarnmoor Breathing Support Service does not exist, and nothing here is a recommendation.
prescription "Night support by nasal mask, adult with motor neurone disease"
  notation   1
  id         TM-0601
  revision   1
  status     active
  written    ${before(5)} 10:10 by "consultant nurse, home ventilation"
  review by  ${daysAfter(day, 80)}

patient
  age                    58 years
  sex                    female
  height                 166 cm
  weight                 62 kg measured ${before(5)}
  indication             "motor neurone disease, headache on waking"
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

checked ${before(4)} 11:00 by "second checker, physiotherapy"
`;
}

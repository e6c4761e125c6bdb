"""Templates for intervals.py: with so many ranges and tables, and examples whose ranges are moved.

Everything here is invented, to be read fast and often. None of the numbers is a recommendation.
"""

import itertools
import random
import re
from decimal import Decimal

# Section, term, and the value as a range and as one number: the first so many are ranges.
LINES = (
    ("settings", "PEEP", "6 to 8", "7", "cmH2O"),
    ("settings", "inspiratory pressure", "12 to 16", "14", "cmH2O above PEEP"),
    ("settings", "rate", "14 to 18", "16", "/min"),
    ("settings", "inspiratory time", "1 to 1.2", "1.1", "s"),
    ("settings", "rise time", "100 to 200", "150", "ms"),
    ("settings", "trigger sensitivity", "1 to 3", "2", "L/min"),
    ("settings", "FiO2", "30 to 45", "40", "%"),
    ("patient", "height", "165 to 180", "170", "cm"),
    ("patient", "age", "40 to 60", "50", "years"),
    ("patient", "compliance", "40 to 50", "45", "mL/cmH2O"),
    ("alarms", "high inspiratory pressure", "32 to 36", "34", "cmH2O"),
    ("alarms", "low inspiratory pressure", "12 to 14", "13", "cmH2O"),
    ("alarms", "high minute volume", "14 to 16", "15", "L/min"),
    ("alarms", "low minute volume", "4 to 5", "4.5", "L/min"),
    ("alarms", "high rate", "30 to 35", "32", "/min"),
    ("airway", "cuff pressure", "20 to 30", "25", "cmH2O"),
)
# Terms that a table gives by the age, in this order.
TABLES = ("rate", "inspiratory time", "high rate", "low minute volume", "high minute volume")
MOST_RANGES, MOST_TABLES = len(LINES), len(TABLES)
OLDEST, YOUNGEST = 90, 18

FIXED = {
    "patient": ("sex  male", "diagnosis  acute lung injury", "place of care  intensive care"),
    "airway": ("interface  endotracheal tube cuffed", "cuff  inflated"),
    "circuit": (
        "limb  dual",
        "assembly  ventilator, filter, tubing 160 cm, Y-piece, heated humidifier, endotracheal tube",
    ),
    "settings": ("mode  A/C-PC", "trigger  flow"),
    "alarms": ("disconnection  after 10 s", "apnoea  after 20 s", "low SpO2  88 %", "high SpO2  98 %"),
    "targets": ("SpO2  92 to 96 %", "expired tidal volume  6 to 8 mL/kg of predicted weight"),
    "monitoring": ("pulse oximeter, capnograph",),
}


def template(ranges: int, tables: int = 0, rows: int = 3) -> str:
    """A template with so many ranges, and so many tables of so many rows, on top of these, by the patient's age."""
    tabled = TABLES[:tables]
    lines = [line for line in LINES if line[1] not in tabled and not (tables and line[1] == "age")]
    parts = {section: [f"  {text}" for text in texts] for section, texts in FIXED.items()}
    for place, (section, term, wide, narrow, unit) in enumerate(lines):
        parts[section].append(f"  {term}  {wide if place < ranges else narrow} {unit}")
    for section, term, wide, _, unit in LINES:
        if term in tabled:
            parts[section] += [f"  {term} by age", *(f"    {key}  {wide} {unit}" for key in _ages(rows))]
    head = 'template "Ranges and tables"\n  notation  1\n  id  ranges-and-tables\n  revision  1\n  status  active\n'
    return head + "".join(f"\n{section}\n" + "\n".join(texts) + "\n" for section, texts in parts.items())


def _ages(rows: int) -> list[str]:
    cuts = [YOUNGEST + (OLDEST - YOUNGEST) * place // rows for place in range(rows + 1)]
    return [f"{low} to {high} years" for low, high in itertools.pairwise(cuts)]


RANGE = re.compile(r"(?P<low>\d+(?:\.\d+)?) to (?P<high>\d+(?:\.\d+)?)(?= [^\d\s]\S*(?: [^\d\s]\S*)*$)")
SINGLE = re.compile(r"(?<=  )(?P<low>\d+(?:\.\d+)?)(?= [^\d\s]\S*(?: [^\d\s]\S*)*$)")
MOVED = ("patient", "airway", "settings", "alarms")
WIDER = (Decimal("0"), Decimal("0.5"), Decimal("1.25"), Decimal("1.5"), Decimal("2"))
SHIFTS = tuple(Decimal(shift) / 20 for shift in (-6, -3, -1, 0, 1, 3, 6))


def moved(text: str, rng: random.Random) -> str:
    """An example with some of its ranges made wider, narrower or shifted, and some numbers made ranges.

    So some rules are broken in a corner, some nearly, and some by all that is allowed.
    """
    section, lines = "", []
    for line in text.split("\n"):
        section = line if line and line[0].isalpha() else section
        code, mark, comment = line.partition("  #")
        if section in MOVED and rng.random() < 0.35:
            code = RANGE.sub(lambda found: _other(found, rng), code.rstrip(), count=1)
            if "keep" not in code:
                code = SINGLE.sub(lambda found: _widened(found, rng), code, count=1)
        lines.append(code + mark + comment)
    return "\n".join(lines)


def _other(found: re.Match[str], rng: random.Random) -> str:
    low, high = Decimal(found["low"]), Decimal(found["high"])
    middle, half = (low + high) / 2 + (high - low) * rng.choice(SHIFTS), (high - low) / 2 * rng.choice(WIDER)
    return _written(middle - half, middle + half, low)


def _widened(found: re.Match[str], rng: random.Random) -> str:
    value = Decimal(found["low"])
    return _written(value - value * rng.choice((0, 1, 2)) / 10, value + value * rng.choice((0, 1, 2, 4)) / 10, value)


def _written(low: Decimal, high: Decimal, like: Decimal) -> str:
    """A range at the resolution of a number, nothing under half of it."""
    unit = Decimal(1).scaleb(min(0, int(like.as_tuple().exponent)))
    low, high = (max(end, like / 2).quantize(unit) for end in (low, high))
    return f"{_plain(low)} to {_plain(high)}" if low < high else _plain(low)


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text

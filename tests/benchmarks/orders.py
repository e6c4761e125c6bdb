"""Six kinds of order over ages, modes and circuits, with the repetition that real protocol libraries have.

The same roles, alarms and equipment stand in order after order, with a patient and settings of its own in each.
Everything here is invented, to be read fast and often. None of the numbers is a recommendation.
"""

import datetime as dt
import random
from collections.abc import Callable
from dataclasses import dataclass

from writing import Order, Row, Section, delay, items, quantity, quoted, section, window, words

YES = words("power loss", "on", "true")


@dataclass(frozen=True)
class Slips:
    """What is wrong with a document: cmH2O by which PEEP alone was raised, and a saturation limit (%) that can't be."""

    peep: int = 0
    high_saturation: int | None = None


@dataclass(frozen=True)
class Person:
    """Who an order is for; height in cm, weight in kg."""

    age: str
    sex: str
    height: int
    weight: float

    @property
    def predicted(self) -> float:
        """Adult predicted weight, kg (ARDS Network, N Engl J Med 2000;342:1301-8), to size tidal volumes by."""
        return (50 if self.sex == "male" else 45.5) + 0.91 * (self.height - 152.4)


Parts = tuple[Section, ...]
Kind = Callable[[random.Random, dt.date, Slips], Order]

# Years, cm, kg, tube in mm: near the middle of the CDC growth charts (2000), rounded; tubes that a child may have.
CHILDREN = ((3, 95, 14.3, 4.5), (5, 109, 18.3, 5), (8, 128, 25.7, 5.5), (12, 149, 41, 6), (15, 166, 54, 6.5))
# FiO2 in % and PEEP in cmH2O: pairs of the ARDS Network's lower-PEEP table (N Engl J Med 2000;342:1301-8).
OXYGEN_LADDER = ((40, 5), (40, 8), (50, 8), (50, 10), (60, 10))


def an_adult(rng: random.Random) -> Person:
    sex = rng.choice(("female", "male"))
    height = rng.randint(152, 176) + (8 if sex == "male" else 0)
    return Person(f"{rng.randint(24, 82)} years", sex, height, round(height**2 / 10_000 * rng.uniform(20, 28), 1))


def patient(person: Person, written: dt.date, *rows: Row) -> Section:
    measured = written - dt.timedelta(days=2)
    return section(
        "patient",
        words("age", person.age),
        words("sex", person.sex),
        quantity("height", person.height, "cm"),
        quantity("weight", person.weight, "kg", after=f"measured {measured}"),
        *rows,
    )


def minute_volume(expected: float) -> tuple[Row, Row]:
    """Alarms around the minute volume, L/min, that is expected."""
    low, high = max(round(expected * 0.65, 1), 0.1), round(expected * 1.9, 1)
    return quantity("low minute volume", low, "L/min"), quantity("high minute volume", high, "L/min")


def saturation(low: int, high: int, slips: Slips) -> tuple[Row, Row]:
    return quantity("low SpO2", low, "%"), quantity("high SpO2", slips.high_saturation or high, "%")


def child_by_tracheostomy(rng: random.Random, written: dt.date, slips: Slips) -> Order:
    age, height, weight, tube = rng.choice(CHILDREN)
    weight = round(weight * rng.uniform(0.92, 1.08), 1)
    person = Person(f"{age} years", rng.choice(("female", "male")), height + rng.randint(-3, 3), weight)
    peep, support = rng.choice((4, 5, 6)), rng.choice((10, 11, 12, 13))
    peak, rate = peep + support, 24 if age < 5 else 20 if age < 10 else 16
    step = f"inspiratory pressure and pressure support by 1 cmH2O every 10 min up to {peak + 3} cmH2O above ambient"
    parts = (
        patient(person, written, words("diagnosis", "neuromuscular"), words("place of care", "home")),
        section("airway", words("interface", "tracheostomy cuffed"), quantity("tube size", tube, "mm")),
        section(
            "circuit",
            words("limb", "single with leak port"),
            quantity("leak port flow", 22, "L/min", after="at 10 cmH2O"),
            items("assembly", "ventilator", "filter", "tubing 180 cm", "leak port", "HME 12 mL", "tracheostomy tube"),
        ),
        section(
            "settings night from 21:00 to 07:00",
            words("mode", "SIMV-PC with PS"),
            quantity("PEEP", peep + slips.peep, "cmH2O"),
            allowed("inspiratory pressure", peak, "above ambient"),
            allowed("pressure support", support, "above PEEP"),
            words("keep", "pressure support = inspiratory pressure - PEEP"),
            quantity("rate", rate, "/min"),
            quantity("inspiratory time", 0.8 if age < 5 else 1, "s"),
            quantity("rise time", 150, "ms"),
            words("trigger", "flow, leak-compensated"),
        ),
        section(
            "alarms",
            delay("disconnection", 10),
            delay("apnoea", 15),
            quantity("low inspiratory pressure", peak - 4, "cmH2O"),
            quantity("high inspiratory pressure", peak + 13, "cmH2O"),
            *minute_volume(person.weight * 7 * rate / 1000),
            *saturation(92, 99, slips),
            YES,
        ),
        section("targets", window("SpO2", 94, 98, "%"), window("EtCO2", 4.7, 6, "kPa")),
        section("titration", words("raise", f"{step} when EtCO2 above 6 kPa for 5 min")),
        section("monitoring", items("", "pulse oximeter", "capnograph")),
        section("equipment", items("", "self-inflating bag", "suction", "spare tube same size", "battery 9 h")),
    )
    return Order("Night support by tracheostomy", parts)


def allowed(term: str, number: int, reference: str) -> Row:
    """A pressure with a range around it that staff may set."""
    return quantity(term, number, "cmH2O", after=f"{reference} allow {number - 2} to {number + 3} cmH2O")


def two_levels_by_mask(rng: random.Random, person: Person, slips: Slips, mask: str, period: str) -> Parts:
    """Airway, circuit, settings and alarms of a two-level order."""
    epap, support, rate = rng.choice((4, 5)), rng.choice((8, 10, 12, 14)), rng.choice((12, 14, 16))
    valve = ("anti-asphyxia valve",) if mask == "oronasal mask" else ()
    return (
        section("airway", words("interface", f"{mask} non-vented")),
        section(
            "circuit",
            words("limb", "single with leak port"),
            quantity("leak port flow", rng.choice((20, 22, 25)), "L/min", after="at 10 cmH2O"),
            items("assembly", "ventilator", "filter", "tubing 180 cm", "leak port", *valve, mask),
        ),
        section(
            f"settings{period}",
            words("mode", "S/T-PS"),
            quantity("EPAP", epap + slips.peep, "cmH2O"),
            quantity("IPAP", epap + support, "cmH2O"),
            quantity("pressure support", support, "cmH2O", after="above PEEP"),
            quantity("back-up rate", rate, "/min"),
            quantity("inspiratory time", rng.choice((1, 1.1, 1.2)), "s"),
            quantity("maximum inspiratory time", 1.5, "s"),
            quantity("rise time", rng.choice((100, 150, 200)), "ms"),
            words("trigger", "flow, leak-compensated"),
        ),
        section(
            "alarms",
            delay("disconnection", 15),
            delay("apnoea", 20),
            quantity("low inspiratory pressure", epap + support - 4, "cmH2O"),
            quantity("high inspiratory pressure", epap + support + 10, "cmH2O"),
            *minute_volume(person.predicted * 7 * rate / 1000),
            quantity("high rate", 40, "/min"),
            *saturation(86, 99 if period else 94, slips),
            YES,
        ),
    )


def acute_support_by_mask(rng: random.Random, written: dt.date, slips: Slips) -> Order:
    person = an_adult(rng)
    facts = (
        words("diagnosis", "obstructive"),
        words("hypercapnia risk", "yes", "true"),
        words("place of care", "ward"),
    )
    parts = (
        patient(person, written, *facts),
        *two_levels_by_mask(rng, person, slips, "oronasal mask", ""),
        section("oxygen", quantity("flow", rng.choice((1, 2, 3)), "L/min", after="at ventilator inlet")),
        section("targets", window("SpO2", 88, 92, "%"), window("pH", 7.35, 7.45)),
        section("monitoring", items("", "pulse oximeter")),
        section("escalation", quoted("ceiling", "support by mask is the ceiling of treatment")),
    )
    return Order("Acute support by mask", parts)


def night_support_by_mask(rng: random.Random, written: dt.date, slips: Slips) -> Order:
    person = an_adult(rng)
    facts = (words("diagnosis", rng.choice(("neuromuscular", "chest wall"))), words("place of care", "home"))
    start = rng.choice(("21:00", "22:00", "23:00"))
    parts = (
        patient(person, written, *facts, quantity("hours ventilated", 31 - int(start[:2]), "h/day")),
        *two_levels_by_mask(rng, person, slips, "nasal mask", f" night from {start} to 07:00"),
        section("targets", window("SpO2", 92, 98, "%"), window("PaCO2", 4.7, 6, "kPa")),
        section("monitoring", items("", "pulse oximeter")),
        section("equipment", items("", "spare mask", "battery 6 h")),
    )
    return Order("Night support by mask", parts)


def lung_protective(rng: random.Random, written: dt.date, slips: Slips) -> Order:
    person = an_adult(rng)
    (oxygen, peep), rate = rng.choice(OXYGEN_LADDER), rng.choice((18, 20, 22, 24))
    volume = round(person.predicted * 6 / 5) * 5
    parts = (
        patient(person, written, words("diagnosis", "acute lung injury"), words("place of care", "intensive care")),
        section("airway", words("interface", "endotracheal tube cuffed"), quantity("tube size", 7.5, "mm")),
        dual_limb("endotracheal tube"),
        section(
            "settings",
            words("mode", "A/C-VC"),
            quantity("PEEP", peep + slips.peep, "cmH2O"),
            quantity("tidal volume", volume, "mL"),
            quantity("rate", rate, "/min"),
            quantity("inspiratory time", 0.9, "s"),
            quantity("FiO2", oxygen, "%"),
            words("trigger", "flow"),
        ),
        section(
            "alarms",
            delay("disconnection", 10),
            delay("apnoea", 20),
            quantity("low inspiratory pressure", peep + 5, "cmH2O"),
            quantity("high inspiratory pressure", 40, "cmH2O"),
            *minute_volume(volume * rate / 1000),
            quantity("high rate", 40, "/min"),
            *saturation(86, 98, slips),
            YES,
        ),
        section("targets", window("SpO2", 88, 95, "%"), window("pH", 7.3, 7.45)),
        section("monitoring", items("", "pulse oximeter", "capnograph", "arterial line")),
        section("equipment", items("", "self-inflating bag", "suction")),
    )
    return Order("Lung-protective ventilation", parts)


def dual_limb(tube: str) -> Section:
    return section(
        "circuit",
        words("limb", "dual"),
        items("assembly", "ventilator", "filter", "tubing 150 cm", "heated humidifier", "Y-piece", tube),
        items("expiratory limb", "tubing 150 cm", "water trap", "filter"),
        words("humidification", "heated humidifier"),
        quantity("humidifier temperature", 37, "degC"),
    )


def newborn(rng: random.Random, written: dt.date, slips: Slips) -> Order:
    weeks, weight, height, tube = rng.choice(((30, 1.4, 39, 3), (33, 2, 43, 3), (36, 2.7, 47, 3.5), (39, 3.3, 50, 3.5)))
    weight = round(weight * rng.uniform(0.92, 1.08), 2)
    person = Person(f"{rng.randint(1, 9)} days", rng.choice(("female", "male")), height, weight)
    peep, pressure, rate = rng.choice((4, 5)), rng.choice((10, 11, 12)), rng.choice((40, 45, 50))
    parts = (
        patient(person, written, words("gestation", f"{weeks} weeks"), words("place of care", "intensive care")),
        section("airway", words("interface", "endotracheal tube uncuffed"), quantity("tube size", tube, "mm")),
        dual_limb("endotracheal tube"),
        section(
            "settings",
            words("mode", "A/C-PC"),
            quantity("PEEP", peep + slips.peep, "cmH2O"),
            quantity("inspiratory pressure", peep + pressure, "cmH2O", after="above ambient"),
            quantity("rate", rate, "/min"),
            quantity("inspiratory time", rng.choice((0.3, 0.35)), "s"),
            quantity("rise time", 50, "ms"),
            quantity("FiO2", rng.choice((25, 30, 35)), "%"),
            words("trigger", "flow"),
        ),
        section(
            "alarms",
            delay("disconnection", 10),
            delay("apnoea", 10),
            quantity("low inspiratory pressure", peep + pressure - 3, "cmH2O"),
            quantity("high inspiratory pressure", peep + pressure + 8, "cmH2O"),
            *minute_volume(person.weight * 5 * rate / 1000),
            quantity("high rate", 80, "/min"),
            *saturation(89, 96, slips),
            YES,
        ),
        section("targets", window("SpO2", 90, 95, "%")),
        section("monitoring", items("", "pulse oximeter", "transcutaneous CO2")),
        section("equipment", items("", "self-inflating bag", "suction")),
    )
    return Order("Newborn", parts)


def weaning(rng: random.Random, written: dt.date, slips: Slips) -> Order:
    person = an_adult(rng)
    peep, support, rate = rng.choice((5, 6, 8)), rng.choice((8, 10, 12)), rng.choice((12, 14))
    parts = (
        patient(person, written, words("diagnosis", "normal lungs"), words("place of care", "intensive care")),
        section("airway", words("interface", "tracheostomy cuffed"), quantity("tube size", 8, "mm")),
        dual_limb("tracheostomy tube"),
        section(
            "settings",
            words("mode", "CSV-PS"),
            quantity("PEEP", peep + slips.peep, "cmH2O"),
            quantity("pressure support", support, "cmH2O", after="above PEEP"),
            quantity("rise time", 100, "ms"),
            quantity("cycle-off", rng.choice((25, 30)), "%"),
            quantity("FiO2", rng.choice((25, 30, 35)), "%"),
            words("trigger", "flow"),
        ),
        section(
            "back-up after apnoea 20 s",
            quantity("inspiratory pressure", support, "cmH2O", after="above PEEP"),
            quantity("rate", rate, "/min"),
            quantity("inspiratory time", 1.2, "s"),
        ),
        section(
            "alarms",
            delay("disconnection", 10),
            delay("apnoea", 20),
            quantity("high inspiratory pressure", peep + support + 12, "cmH2O"),
            *minute_volume(person.predicted * 7 * rate / 1000),
            quantity("high rate", 35, "/min"),
            *saturation(90, 99, slips),
            YES,
        ),
        section("targets", window("SpO2", 92, 98, "%")),
        section("monitoring", items("", "pulse oximeter", "capnograph")),
        section("equipment", items("", "self-inflating bag", "suction")),
    )
    return Order("Weaning", parts)


KINDS: tuple[Kind, ...] = (
    child_by_tracheostomy,
    acute_support_by_mask,
    night_support_by_mask,
    lung_protective,
    newborn,
    weaning,
)

"""Three protocols, each a template with ranges and tables or an order inside it, after those in examples/templates.

    mask_night      night support by nasal mask: a dozen ranges, six tables by age
    injured_lung    support of an injured lung: a dozen ranges, three tables by FiO2, relations
    child_night     a child's night support by tracheostomy: ten ranges, five tables by age

None of the numbers is a recommendation.
"""

import random
from dataclasses import dataclass

from orders import YES
from writing import Row, Section, delay, items, quantity, quoted, section, table, window, words

Parts = tuple[Section, ...]
Ends = tuple[float, ...]
SPARES = ("spare tube one size smaller", "battery 9 h")


@dataclass(frozen=True)
class Own:
    """Numbers that a template's ranges, and the orders that follow it, are made from; a template has no `patient`."""

    revision: int
    rise: int  # ms
    leak: int  # L/min at 10 cmH2O
    low_volume: float  # L/min
    patient: random.Random | None

    def either(self, template: Row, order: Row) -> Row:
        return template if self.patient is None else order

    def ranged(self, term: str, low: float, high: float, unit: str, value: float, after: str = "") -> Row:
        """A range in the template, a value in the order."""
        return self.either(window(term, low, high, unit, after), quantity(term, value, unit, after))

    def by_age(self, term: str, unit: str, rows: dict[str, Ends], value: float) -> Row:
        return self.either(table(term, "age", unit, rows), quantity(term, value, unit))

    def choice(self, *values: int) -> int:
        return self.patient.choice(values) if self.patient else values[0]

    def measured(self, term: str, low: float, high: float, unit: str, after: str = "") -> tuple[Row, ...]:
        """A fact that the patient has and the template lacks."""
        return (quantity(term, round(self.patient.uniform(low, high), 1), unit, after),) if self.patient else ()

    def period(self, window_of_clock: str) -> str:
        return f"settings night from {window_of_clock}" if self.patient else "settings"


def keep(key: str, relation: str) -> Row:
    return Row("keep", relation, f"keep_{key}", relation)


def called(role: str, reading: str) -> Row:
    return words("call", f'"{role}" when {reading}', f"{role} when {reading}")


def by_group(child: Ends, young: Ends, adult: Ends) -> dict[str, Ends]:
    return {"6 to 12 years": child, "12 to 18 years": young, "18 years and over": adult}


def by_band(small: Ends, middle: Ends, large: Ends) -> dict[str, Ends]:
    return {"6 to 9 years": small, "9 to 12 years": middle, "12 to 16 years": large}


def mask_night(own: Own) -> Parts:
    either, ranged, by_age = own.either, own.ranged, own.by_age
    age, rate, ipap = own.choice(*range(24, 79)), own.choice(14, 15), own.choice(15, 16, 17)
    return (
        section(
            "patient",
            either(words("age", "at least 6 years"), words("age", f"{age} years")),
            either(words("sex", "female or male"), words("sex", "female")),
            *own.measured("height", 160, 168, "cm"),
            *own.measured("weight", 58, 66, "kg", "measured 2026-10-22"),
            quoted("indication", "sleep hypoventilation in neuromuscular weakness"),
            words("diagnosis", "neuromuscular"),
            words("place of care", "home"),
            ranged("hours ventilated", 6, 12, "h/day", 9),
            either(words("unaided up to", "at least 6 h"), quantity("unaided up to", 12, "h")),
            words("spontaneous breathing", "present"),
        ),
        section("airway", words("interface", "nasal mask non-vented")),
        section(
            "circuit",
            words("limb", "single with leak port"),
            ranged("leak port flow", own.leak + 4, own.leak + 10, "L/min", own.leak + 7, "at 10 cmH2O"),
            items("assembly", "ventilator", "filter", "heated humidifier", "tubing 180 cm", "leak port", "nasal mask"),
            words("oxygen inlet", "capped"),
            words("humidification", "heated humidifier"),
        ),
        section(
            own.period("22:30 to 07:30"),
            words("mode", "S/T-PS"),
            ranged("EPAP", 4, 5, "cmH2O", 4),
            by_age("IPAP", "cmH2O", by_group((12, 16), (12, 18), (12, 20)), ipap),
            by_age("back-up rate", "/min", by_group((18, 20), (16, 18), (14, 16)), rate),
            by_age("inspiratory time", "s", by_group((0.8, 1), (1, 1.2), (1.2, 1.5)), 1.3),
            ranged("minimum inspiratory time", 0.5, 0.8, "s", 0.8),
            by_age("maximum inspiratory time", "s", by_group((1.1, 1.2), (1.3, 1.4), (1.6, 1.7)), 1.6),
            ranged("rise time", own.rise + 50, own.rise + 100, "ms", own.rise + 80),
            words("trigger", "flow, leak-compensated"),
            ranged("trigger sensitivity", 0.5, 1, "L/min", 1),
            ranged("cycle-off", 20, 30, "%", 25),
        ),
        section(
            "alarms",
            delay("disconnection", 15),
            delay("apnoea", 20),
            ranged("low inspiratory pressure", 8, 10, "cmH2O", 10),
            quantity("high inspiratory pressure", 25, "cmH2O"),
            by_age("low minute volume", "L/min", by_group((1.5, 2.5), (2.5, 3.5), (own.low_volume, 4)), 3.5),
            by_age("high minute volume", "L/min", by_group((8, 10), (12, 15), (14, 18)), 15),
            ranged("high rate", 32, 36, "/min", 34),
            quantity("low SpO2", 90, "%"),
            YES,
        ),
        section(
            "targets",
            window("total leak", 20, 55, "L/min"),
            window("SpO2", 94, 98, "%"),
            window("PaCO2", 4.7, 6, "kPa"),
        ),
        section("monitoring", items("", "pulse oximeter", "transcutaneous CO2")),
        section("escalation", called("home ventilation nurse on call", "SpO2 below 90 % for 10 min")),
        section("equipment", items("", "self-inflating bag", "mask", "suction", "spare mask", "spare circuit")),
    )


def injured_lung(own: Own) -> Parts:
    either, ranged = own.either, own.ranged
    age, rate, volume = own.choice(*range(24, 79)), own.choice(20, 21, 22), own.choice(335, 340, 345)
    return (
        section(
            "patient",
            either(words("age", "at least 18 years"), words("age", f"{age} years")),
            either(words("sex", "female or male"), words("sex", "female")),
            ranged("height", 145, 200, "cm", 165),
            *own.measured("weight", 60, 66, "kg", "measured 2026-10-22"),
            quoted("indication", "acute hypoxaemic failure with an injured lung"),
            words("diagnosis", "acute lung injury"),
            words("hypercapnia risk", "no", "false"),
            words("place of care", "intensive care"),
            quantity("hours ventilated", 24, "h/day"),
            either(words("spontaneous breathing", "none or weak"), words("spontaneous breathing", "weak")),
        ),
        section(
            "airway",
            words("interface", "endotracheal tube cuffed"),
            ranged("tube size", 7, 8.5, "mm", 7.5),
            words("cuff", "inflated"),
            ranged("cuff pressure", 20, 30, "cmH2O", 25),
        ),
        section(
            "circuit",
            words("limb", "dual"),
            items(
                "assembly",
                *("ventilator", "filter", "heated humidifier", "tubing 160 cm", "Y-piece", "flow sensor 8 mL"),
                *("CO2 adapter 5 mL", "endotracheal tube"),
            ),
            items("expiratory limb", "tubing 160 cm", "water trap", "filter"),
            words("oxygen inlet", "capped"),
            words("humidification", "heated humidifier"),
            ranged("humidifier temperature", 36, 38, "degC", 37),
        ),
        *_injured_lung_set(own, rate, volume),
        section(
            "targets",
            words("plateau pressure", "up to 30 cmH2O"),
            window("SpO2", 88, 95, "%"),
            window("EtCO2", 4, 7, "kPa"),
            window("pH", 7.3, 7.45),
        ),
        section(
            "monitoring",
            items("", "pulse oximeter", "capnograph", "arterial line", "oxygen analyser", "cuff pressure gauge"),
        ),
        section(
            "escalation",
            words("gases", "at 1 h and 4 h"),
            called("intensive care consultant", "pH below 7.2 or SpO2 below 86 % for 5 min"),
        ),
        section("equipment", items("", "self-inflating bag", "mask", "suction", "suction catheter 12 Fr")),
    )


def _injured_lung_set(own: Own, rate: int, volume: int) -> Parts:
    either, ranged = own.either, own.ranged
    # Between the columns of the ARDS Network's lower-PEEP table (N Engl J Med 2000;342:1301-8).
    peep: dict[str, Ends] = {"30 % to 40 %": (5,), "40 % to 50 %": (5, 8), "50 % to 60 %": (8, 10)}
    low_peep: dict[str, Ends] = {"30 % to 50 %": (3,), "50 % to 60 %": (5, 6)}
    limits = "alarm {} minute volume is between {} * expected minute volume and {} * expected minute volume"
    relations = (
        keep("low_minute_volume", limits.format("low", 0.55, 0.8)),
        keep("high_minute_volume", limits.format("high", 1.3, 2)),
    )
    return (
        section(
            "settings",
            words("mode", "A/C-VC"),
            either(
                window("tidal volume", 5, 8, "mL/kg", "of predicted weight"), quantity("tidal volume", volume, "mL")
            ),
            ranged("rate", 16, 28, "/min", rate),
            ranged("inspiratory time", 0.8, 0.95, "s", 0.9),
            ranged("inspiratory pause", 0.2, 0.3, "s", 0.3),
            words("trigger", "flow"),
            ranged("trigger sensitivity", 1, 3, "L/min", 2),
            ranged("FiO2", 30, 70, "%", 50),
            either(table("PEEP", "FiO2", "cmH2O", peep | {"60 % to 70 %": (10, 12)}), quantity("PEEP", 10, "cmH2O")),
            *(relations if own.patient is None else ()),
        ),
        section(
            "alarms",
            delay("disconnection", 10),
            delay("apnoea", 15),
            either(
                table("low inspiratory pressure", "FiO2", "cmH2O", {"30 % to 60 %": (14,), "60 % to 70 %": (14, 16)}),
                quantity("low inspiratory pressure", 14, "cmH2O"),
            ),
            quantity("high inspiratory pressure", 35, "cmH2O"),
            either(
                table("low PEEP", "FiO2", "cmH2O", low_peep | {"60 % to 70 %": (6, 8)}),
                quantity("low PEEP", 6, "cmH2O"),
            ),
            ranged("low minute volume", 1.5, 14, "L/min", 5),
            ranged("high minute volume", 4, 30, "L/min", 12),
            quantity("high rate", 40, "/min"),
            quantity("low SpO2", 86, "%"),
            quantity("high SpO2", 97, "%"),
            YES,
        ),
    )


def child_night(own: Own) -> Parts:
    either, ranged, by_age = own.either, own.ranged, own.by_age
    support, rate = own.choice(11, 12), own.choice(19, 20)
    return (
        section(
            "patient",
            either(words("age", "6 to 16 years"), words("age", "7 years")),
            either(words("sex", "female or male"), words("sex", "female")),
            *own.measured("height", 119, 123, "cm"),
            either(
                table("weight", "age", "kg", by_band((22, 32), (26, 46), (38, 66))),
                quantity("weight", 22.5, "kg", after="measured 2026-10-22"),
            ),
            quoted("indication", "sleep hypoventilation of a child with a tracheostomy who breathes unaided by day"),
            words("diagnosis", "neuromuscular"),
            ranged("hours ventilated", 8, 14, "h/day", 10),
            words("place of care", "home"),
        ),
        section(
            "airway",
            words("interface", "tracheostomy cuffed"),
            ranged("tube size", 4.5, 6.5, "mm", 5),
            words("cuff", "inflated"),
        ),
        section(
            "circuit",
            words("limb", "single with leak port"),
            ranged("leak port flow", own.leak - 2, own.leak + 2, "L/min", own.leak, "at 10 cmH2O"),
            items(
                "assembly",
                *("ventilator", "filter", "tubing 180 cm", "leak port", "CO2 adapter 5 mL", "HME 12 mL"),
                "tracheostomy tube",
            ),
            words("oxygen inlet", "capped"),
        ),
        section(
            own.period("21:00 to 07:00"),
            words("mode", "SIMV-PC with PS"),
            ranged("PEEP", 4, 6, "cmH2O", 5),
            ranged("inspiratory pressure", 15, 20, "cmH2O", support + 5, "above ambient"),
            ranged("pressure support", 9, 16, "cmH2O", support, "above PEEP"),
            keep("pressure_support", "pressure support = inspiratory pressure - PEEP"),
            by_age("rate", "/min", by_band((18, 24), (16, 22), (12, 20)), rate),
            by_age("inspiratory time", "s", by_band((0.7, 1), (0.8, 1), (0.9, 1.2)), 1),
            ranged("rise time", own.rise - 50, own.rise, "ms", own.rise),
            words("trigger", "flow, leak-compensated"),
        ),
        section(
            "alarms",
            delay("disconnection", 10),
            delay("apnoea", 15),
            ranged("low inspiratory pressure", 11, 13, "cmH2O", 13),
            ranged("high inspiratory pressure", 26, 30, "cmH2O", 30),
            by_age("low minute volume", "L/min", by_band((1.5, 2.5), (2, 3), (2.5, 3.5)), 2),
            by_age("high minute volume", "L/min", by_band((6, 8), (7, 10), (9, 14)), 6),
            ranged("high rate", 36, 40, "/min", 40),
            quantity("low SpO2", 92, "%"),
            YES,
        ),
        section(
            "targets",
            window("expired tidal volume", 6, 8, "mL/kg", "of measured weight"),
            window("total leak", 10, 50, "L/min"),
            window("SpO2", 94, 98, "%"),
        ),
        section("monitoring", items("", "pulse oximeter", "capnograph")),
        section("escalation", called("on-call home ventilation team", "SpO2 below 92 % for 5 min")),
        section("equipment", items("", "self-inflating bag", "suction", "spare tube same size", *SPARES)),
    )

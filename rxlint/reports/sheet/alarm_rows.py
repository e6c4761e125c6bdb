"""What the picture of the alarms shows: for each quantity its limits, what is expected of it, aimed at and read.

Which value is expected is told by the terms that the rules compare limits with; none is worked out here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from rxlint.model.facts import Facts
from rxlint.notation import nodes as n
from rxlint.reports.sheet.labels import shown
from rxlint.reports.sheet.spans import Span, is_stated, lacking_text, not_known, span_of, written
from rxlint.screening.values import unit_for
from rxlint.units import PLAIN, TIME, Unit, find_unit, show

NOT_STATED: Final = "not stated"
UNREADABLE: Final = "stated, could not be read"


@dataclass(frozen=True, slots=True)
class Way:
    """A way to what is expected: the keys of its least and its most, and in words what it is."""

    low: str
    high: str
    words: str


@dataclass(frozen=True, slots=True)
class Watched:
    """A quantity that alarms watch: keys of its limits, ways to what is expected, marks beside it, target, readings.

    ``top`` is the most that there can be of it, in base units.
    """

    name: str
    low: str | None
    high: str | None
    ways: tuple[Way, ...] = ()
    beside: tuple[tuple[str, str], ...] = ()
    target: str | None = None
    readings: tuple[tuple[str, str], ...] = ()
    top: Fraction | None = None


_PEAK: Final = Way("alarms: lowest peak", "alarms: highest peak", "peak of the breaths")
_BY_RATE: Final = Way("expected minute volume", "expected minute volume", "set rate x volume of a breath")
_BY_TARGET: Final = Way(
    "alarms: least wanted minute volume", "alarms: largest wanted minute volume", "set rate x volume aimed at"
)
_CYCLE: Final = Way("alarms: slowest back-up cycle", "alarms: slowest back-up cycle", "from one set breath to the next")
_PORT: Final = Way("port leak in expiration", "port leak in inspiration", "flow through the leak port")

WATCHED: Final = (
    Watched("inspiratory pressure", "alarm low inspiratory pressure", "alarm high inspiratory pressure", (_PEAK,),
            (("baseline", "PEEP"),), None, (("reading peak pressure", "read"),)),
    Watched("PEEP", "alarm low PEEP", None, (Way("baseline", "baseline", "as set"),),
            readings=(("reading PEEP", "read"), ("reading total PEEP", "read, total"))),
    Watched("tidal volume", "alarm low tidal volume", "alarm high tidal volume",
            (Way("expected tidal volume", "expected tidal volume", "volume of a breath"),),
            target="expired tidal volume", readings=(("reading expired tidal volume", "read"),)),
    Watched("minute volume", "alarm low minute volume", "alarm high minute volume", (_BY_RATE, _BY_TARGET),
            target="minute volume", readings=(("reading minute volume", "read"),)),
    Watched("rate", "alarm low rate", "alarm high rate", (Way("set rate", "set rate", "as set"),), target="rate",
            readings=(("reading rate", "read"),)),
    Watched("time without a breath (apnoea)", None, "alarm apnoea", (_CYCLE,), (("fallback delay", "back-up begins"),)),
    Watched("time disconnected (disconnection)", None, "alarm disconnection"),
    Watched("leak", None, "alarm high leak", (_PORT,), target="total leak",
            readings=(("reading total leak", "read, total"), ("reading unintentional leak", "read, unintentional"))),
    Watched("SpO2", "alarm low SpO2", "alarm high SpO2", target="SpO2", readings=(("reading SpO2", "read"),),
            top=Fraction(1)),
    Watched("EtCO2", "alarm low EtCO2", "alarm high EtCO2", target="EtCO2", readings=(("reading EtCO2", "read"),)),
    Watched("FiO2", "alarm low FiO2", "alarm high FiO2",
            (Way("FiO2", "FiO2", "as set"), Way("oxygen: fraction bled in", "oxygen: fraction bled in",
             "by mass balance of the oxygen bled in"), Way("estimated FiO2", "estimated FiO2", "by mass balance")),
            readings=(("reading FiO2", "read"),), top=Fraction(1)),
)  # fmt: skip
"""Every quantity that the notation has a limit for, in the order of the picture."""

POWER: Final = "alarm power loss"


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit: its value, or why there is none. ``written`` is its line as it stands, without the term."""

    side: Literal["low", "high"]
    span: Span | None
    why: str
    delay: str
    reason: str
    written: str

    @property
    def is_said(self) -> bool:
        """Whether the order says anything of it."""
        return self.why != NOT_STATED


@dataclass(frozen=True, slots=True)
class Mark:
    """A value on a row: what it is, from where to where (None: open), and what is set of it."""

    kind: Literal["expected", "beside", "aimed", "read"]
    words: str
    low: Fraction | None
    high: Fraction | None
    as_set: Fraction | None = None
    way: Way | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity with all that the order says of its alarms."""

    watched: Watched
    unit: Unit
    limits: tuple[Limit, ...]
    marks: tuple[Mark, ...]
    why: str  # why nothing is expected, where a value could have been

    @property
    def is_said(self) -> bool:
        """Whether the order says anything of a limit of it."""
        return any(limit.is_said for limit in self.limits)

    def of(self, kind: str) -> tuple[Mark, ...]:
        """Its marks of a kind."""
        return tuple(mark for mark in self.marks if mark.kind == kind)


def rows_of(facts: Facts) -> tuple[Row, ...]:
    """A row for every quantity that can be watched, also for those of which the order says nothing."""
    return tuple(_row(watched, facts) for watched in WATCHED)


def _row(watched: Watched, facts: Facts) -> Row:
    as_share = watched.high is not None and f"{watched.high} share" in facts.constants
    keys = {"low": watched.low, "high": f"{watched.high} share" if as_share else watched.high}
    limits = tuple(_limit(side, key, facts) for side, key in keys.items() if key is not None)
    unit = _unit(watched, limits, keys, facts, as_share)
    if not any(limit.is_said for limit in limits):
        return Row(watched, unit, limits, (), "")  # its marks are not shown, and some take long to find
    if as_share:  # a share of the flow is on no scale with a flow
        return Row(watched, unit, limits, (), "the limit is a share of the flow")
    expected = next((mark for way in watched.ways if (mark := _expected(way, facts)) is not None), None)
    marks = [expected] if expected is not None else []
    marks += [*_beside(watched, facts), *_aimed(watched, facts), *_read(watched, facts)]
    why = "" if expected is not None else _why_not(watched, facts)
    return Row(watched, unit, limits, tuple(marks), why)


def _unit(
    watched: Watched, limits: tuple[Limit, ...], keys: dict[str, str | None], facts: Facts, as_share: bool
) -> Unit:
    percent = find_unit("%") or PLAIN
    if as_share:
        return percent
    stated = next((keys[limit.side] for limit in limits if limit.span is not None), None)
    key = stated or next(key for key in keys.values() if key is not None)
    unit = unit_for(key, facts, {})
    if unit.dimension == TIME:
        return find_unit("s") or unit
    return percent if unit is PLAIN and watched.top is not None else unit


def _limit(side: str, key: str, facts: Facts) -> Limit:
    home = facts.stated(key.removesuffix(" share"))
    body = home.statement.body if home is not None else None
    reason = shown(body.because or "") if isinstance(body, n.State) else ""
    quantity = home.statement.values.get("") if home is not None else None
    delay = show(quantity.delay, find_unit("s") or PLAIN) if quantity is not None and quantity.delay is not None else ""
    span = span_of(key, facts)
    why = ""
    if key in facts.off:
        why = "off"
    elif span is None and not is_stated(key, facts):
        why = NOT_STATED
    elif span is None and key in facts.unreadable:
        why = UNREADABLE
    elif span is None and isinstance(body, n.State):
        why = f"{body.word}, no value stated"
    elif span is None:
        why = not_known(lacking_text((key,), facts))
    named: Literal["low", "high"] = "low" if side == "low" else "high"
    return Limit(named, span, why, delay, reason, written(home))


def _expected(way: Way, facts: Facts) -> Mark | None:
    least = span_of(way.low, facts)
    most = span_of(way.high, facts) if way.high != way.low else least
    if least is None or most is None:
        return None
    as_set = least.as_set if least.as_set == most.as_set else None
    if as_set is None and least.as_set is not None and most.as_set is not None and least.is_point and most.is_point:
        return Mark("expected", way.words, least.as_set, most.as_set, None, way)
    return Mark("expected", way.words, min(least.low, most.low), max(least.high, most.high), as_set, way)


def _why_not(watched: Watched, facts: Facts) -> str:
    if not watched.ways:
        return ""
    return lacking_text((watched.ways[0].low, watched.ways[0].high), facts) or "its terms are not among the rules"


def _beside(watched: Watched, facts: Facts) -> Iterator[Mark]:
    for key, words in watched.beside:
        span = span_of(key, facts)
        if span is not None:
            yield Mark("beside", words, span.low, span.high, span.as_set)


def _aimed(watched: Watched, facts: Facts) -> Iterator[Mark]:
    if watched.target is None:
        return
    least = span_of(f"target low {watched.target}", facts)
    most = span_of(f"target high {watched.target}", facts)
    if least is not None or most is not None:
        low = least.low if least is not None else None
        yield Mark("aimed", "aimed at", low, most.high if most is not None else None)


def _read(watched: Watched, facts: Facts) -> Iterator[Mark]:
    for key, words in watched.readings:
        span = span_of(key, facts)
        if span is not None:
            yield Mark("read", words, span.low, span.high, span.as_set)

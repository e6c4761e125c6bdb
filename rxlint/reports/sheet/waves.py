"""Predicted pressure, flow and volume over two breaths of an order, with the alarm limits that stand beside them.

What is drawn is what the order sets, and, where it states compliance and resistance, what a passive lung of one
compartment makes of that. No compliance is ever assumed: what can't be drawn without it is said instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rxlint.model.facts import Facts
from rxlint.physiology.waveforms import Mechanics
from rxlint.reports.sheet.drawing import svg_of
from rxlint.reports.sheet.picture import NotDrawn, Picture, Table
from rxlint.reports.sheet.waves_breaths import LEFT_IN, SET, UNITS, Breath, Line, Mark, Panel, mandatory_breath
from rxlint.reports.sheet.waves_layout import Content, drawing_of
from rxlint.reports.sheet.waves_order import (
    BACK_UP,
    Lacking,
    Order,
    Settings,
    back_up_settings,
    mandatory_settings,
    mechanics_of,
    term_of,
)
from rxlint.reports.sheet.waves_supported import Support, supported_breath, supported_settings

HEADING: Final = "Predicted pressure, flow and volume"
BACK_UP_HEADING: Final = "Predicted pressure, flow and volume of the back-up breaths"
COLUMNS: Final = ("what", "value", "where from")

_ALARMS: Final[tuple[tuple[str, Panel, str], ...]] = (
    ("alarm high inspiratory pressure", "pressure", "high pressure alarm"),
    ("alarm low inspiratory pressure", "pressure", "low pressure alarm"),
    ("alarm low PEEP", "pressure", "low PEEP alarm"),
    ("alarm high tidal volume", "volume", "high volume alarm"),
    ("alarm low tidal volume", "volume", "low volume alarm"),
)
_REST_TIME: Final = 6.0  # s: of a line that stays where it is; it has no meaning, and the notes say so


def breath_pictures(facts: Facts, prefix: str = "waves") -> tuple[Picture | NotDrawn, ...]:
    """The picture of a scope's breaths, and of those that follow an apnoea where the order has a back-up section.

    Every id in a picture begins with the prefix. Raises ValueError for a prefix that is no plain name.
    """
    order = Order(facts)
    found = [_of_mode(order, f"{prefix}-breaths")]
    if "fallback block" in facts.constants:
        found.append(_of_back_up(Order(facts), f"{prefix}-back-up"))
    return tuple(found)


def _of_mode(order: Order, prefix: str) -> Picture | NotDrawn:
    mode = order.facts.mode
    if mode is None:
        stated = order.facts.is_stated("mode")
        return NotDrawn(HEADING, ("the mode can't be read" if stated else "the order states no mode",))
    if not mode.checked:
        return NotDrawn(HEADING, (f"breaths of this mode ({mode.help}) are not modelled",))
    if mode.pattern == "high flow":
        return NotDrawn(HEADING, ("a high flow of gas past the patient sets no pressure and no breath",))
    if mode.pattern == "CPAP":
        return _at_rest(order, prefix)
    lung = mechanics_of(order)
    lacking: list[str] = []
    mandatory = None if mode.pattern == "CSV" else _breath_or_reasons(order, lung, lacking)
    breaths = [] if mandatory is None else [mandatory]
    if mode.support is not None or mode.type in ("PS", "vtPS"):
        settings = supported_settings(order, mandatory)
        found = supported_breath(order, settings, lung, mandatory) if isinstance(settings, Support) else settings
        if isinstance(found, Breath):
            breaths.append(found)
        else:
            lacking += [f"the supported breath is not drawn: {each}" for each in found]
    elif mandatory is not None:
        breaths.append(mandatory)
    if not breaths:
        return NotDrawn(HEADING, tuple(dict.fromkeys(lacking)))
    return _picture(order, HEADING, prefix, breaths, lung, (*lacking, *_between_breaths(mode.pattern, breaths)))


def _breath_or_reasons(order: Order, lung: Mechanics | Lacking, lacking: list[str]) -> Breath | None:
    settings = mandatory_settings(order)
    found = mandatory_breath(order, settings, lung) if isinstance(settings, Settings) else settings
    if isinstance(found, Breath):
        return found
    lacking += [f"the mandatory breath is not drawn: {each}" for each in found]
    return None


def _between_breaths(pattern: str, breaths: Sequence[Breath]) -> tuple[str, ...]:
    """What is to be said of breaths that the patient starts."""
    kinds = {each.kind for each in breaths}
    if kinds == {"mandatory", "supported"}:
        return ("the supported breath stands one cycle of the set rate behind the mandatory one; it may come sooner",)
    if kinds == {"mandatory"} and pattern == "A/C":
        return ("a breath that the patient triggers has the same course and comes sooner",)
    if kinds == {"mandatory"} and pattern in ("SIMV", "IMV"):
        return ("breaths of the patient between these get no support and are not drawn",)
    return ()


def _of_back_up(order: Order, prefix: str) -> Picture | NotDrawn:
    settings, lung = back_up_settings(order), mechanics_of(order)
    found = mandatory_breath(order, settings, lung) if isinstance(settings, Settings) else settings
    if not isinstance(found, Breath):
        return NotDrawn(BACK_UP_HEADING, found)
    delay = order.number("fallback delay")
    said = () if delay is None else (f"these breaths begin after an apnoea of {order.text('fallback delay')}",)
    assert isinstance(settings, Settings)
    return _picture(order, BACK_UP_HEADING, prefix, [found, found], lung, said, settings.base)


def _at_rest(order: Order, prefix: str) -> Picture | NotDrawn:
    """The pressure of a mode that gives no breath of its own: the baseline alone."""
    level = order.number("baseline")
    if level is None:
        return NotDrawn(HEADING, order.why_none("baseline"))
    line = Line("pressure", "mandatory", ((0.0, level), (_REST_TIME, level)))
    why = "flow and volume are the patient's own, and no order tells them"
    breath = Breath(
        "spontaneous", "the patient's own breaths, without support", _REST_TIME, (line,), (), lacking=(why,)
    )
    return _picture(order, HEADING, prefix, [breath], (why,), ("the length of the time axis has no meaning here",))


def _picture(
    order: Order,
    heading: str,
    prefix: str,
    breaths: Sequence[Breath],
    lung: Mechanics | Lacking,
    said: Iterable[str],
    base: str = "baseline",
) -> Picture:
    baseline = _baseline(order, base)
    alarms, silent = _alarms(order, breaths)
    rows = _rows(baseline, breaths, alarms)
    notes = [_model_note(order, breaths, lung), *said]
    notes += [each for breath in breaths for each in breath.notes]
    missing = _missing(breaths)
    notes += [*missing, *silent, *(f"{each}: drawn as if nothing were stated" for each in order.unknown)]
    notes += order.allowed()
    alt = _alt(breaths, [(each.term, each.text) for each in (baseline, *_marks(breaths), *alarms) if each.panel])
    foot = (*map(_sentence, missing), _sentence(_kind_of_picture(breaths)))
    content = Content(heading, alt, tuple(breaths), baseline, alarms, foot)
    svg = svg_of(drawing_of(content), prefix)
    table = Table("The numbers of the picture", COLUMNS, rows)
    return Picture(heading, svg, alt, table, tuple(dict.fromkeys(map(_sentence, notes))))


def _baseline(order: Order, key: str) -> Mark:
    names = ("PEEP", "EPAP")
    if key in names or key.removeprefix(BACK_UP) in names:
        name = key.removeprefix(BACK_UP)
    else:
        name = next((each for each in names if order.facts.is_stated(each)), "baseline")
    return Mark("pressure between breaths", name, order.text(key), SET, "pressure", order.number(key))


def _first_volume(breaths: Sequence[Breath]) -> float | None:
    """The volume (mL above that at the baseline) that the first breath begins with; None where no volume is drawn."""
    lines = (line for breath in breaths for line in breath.lines if line.panel == "volume")
    return next((line.points[0][1] for line in lines), None)


def _alarms(order: Order, breaths: Sequence[Breath]) -> tuple[tuple[Mark, ...], list[str]]:
    """The limits to draw, and what is to be said of them and of those that are not drawn."""
    start = _first_volume(breaths)
    is_left = any(each.short == LEFT_IN for each in breaths[0].marks)
    found: list[Mark] = []
    said: list[str] = []
    unstated: list[str] = []
    for key, panel, short in _ALARMS:
        value = order.number(key)
        if value is not None:
            level = value + (start or 0.0 if panel == "volume" else 0.0)
            is_drawn = panel == "pressure" or start is not None
            found.append(Mark(term_of(key), short, order.text(key), SET, panel, level if is_drawn else None))
            said += [] if is_drawn else [f"the {term_of(key)} is not drawn, for no volume is"]
        elif key in order.facts.off:
            said.append(f"the {term_of(key)} is switched off")
        elif order.facts.is_stated(key):
            said += [f"the {term_of(key)} is not drawn: {each}" for each in order.why_none(key)]
        else:
            unstated.append(term_of(key))
    if unstated:
        said.append(f"the order states no {', no '.join(unstated)}")
    if is_left and any(each.panel == "volume" for each in found):
        said.append("tidal volumes and their alarm limits count from the volume that is left in the lung")
    return tuple(found), said


def _missing(breaths: Sequence[Breath]) -> list[str]:
    """What of which breath is not drawn, and why."""
    of: dict[tuple[str, Lacking], list[str]] = {}
    for breath in breaths:
        drawn = {line.panel for line in breath.lines if line.style != "uncertain"}
        parts: list[str] = [each for each in UNITS if each not in drawn]
        if breath.lacking and drawn == set(UNITS):
            parts = ["pressure in inspiration", "flow and volume in expiration"]
        words = " and ".join(parts)
        of.setdefault((words, breath.lacking), []).append(breath.kind)
    kinds = {each.kind for each in breaths}
    found = []
    for (words, lacking), drawn_of in of.items():
        if words and lacking:
            whose = "" if set(drawn_of) == kinds else f" of the {drawn_of[0]} breath"
            found.append(f"{words}{whose} not drawn: {'; '.join(lacking)}")
    return found


def _kind_of_picture(breaths: Sequence[Breath]) -> str:
    if any(line.style == "lung" for breath in breaths for line in breath.lines):
        return "a prediction for a passive lung of one compartment, not a recording"
    return "drawn from what the order sets, not a recording"


def _model_note(order: Order, breaths: Sequence[Breath], lung: Mechanics | Lacking) -> str:
    """What the picture rests on."""
    if not any(line.style == "lung" for breath in breaths for line in breath.lines):
        return f"{_kind_of_picture(breaths)}; nothing is assumed of the lung"
    assert isinstance(lung, Mechanics)
    out = order.text("exhalation resistance")
    return (
        f"{_kind_of_picture(breaths)}: compliance {order.text('patient compliance')}, resistance "
        f"{order.text('patient resistance')} in inspiration and {out} in expiration, no effort, no leak, the "
        "mandatory breath in steady state"
    )


def _rows(baseline: Mark, breaths: Sequence[Breath], alarms: Sequence[Mark]) -> tuple[tuple[str, ...], ...]:
    marks = (baseline, *_marks(breaths), *alarms)
    return tuple(dict.fromkeys((each.term, each.text, each.origin) for each in marks))


def _marks(breaths: Sequence[Breath]) -> list[Mark]:
    return [mark for breath in breaths for mark in breath.marks]


def _alt(breaths: Sequence[Breath], told: Sequence[tuple[str, str]]) -> str:
    """The picture in words: which breaths, and the numbers that stand in it."""
    kinds = list(dict.fromkeys(each.kind for each in breaths))
    many = {1: "one ", 2: "two "}[len(breaths)] if len(kinds) == 1 else "a "
    which = " and then a ".join(kinds) + (" breaths" if many == "two " else " breath")
    panels = [each for each in UNITS if any(line.panel == each for breath in breaths for line in breath.lines)]
    curves = " and ".join((", ".join(panels[:-1]), panels[-1]) if len(panels) > 1 else panels)
    numbers = "; ".join(f"{what} {value}" for what, value in dict.fromkeys(told))
    return f"{_sentence(f'{curves} over time, {many}{which}')} {_sentence(numbers)}"


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."

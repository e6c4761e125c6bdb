"""Whether words, lists, switches and fixed values are what a template's line says; numbers are compared elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from rxlint.expressions import Item
from rxlint.model.quantities import items_of, window_ends
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity, unit_of
from rxlint.notation.render import render_body
from rxlint.screening.demands import SUPPLIES
from rxlint.units import TIME
from rxlint.vocabulary import Term


@dataclass(frozen=True, slots=True)
class Unlike:
    """How a line differs from the template's: what it says instead, or what it leaves open."""

    value: str
    is_open: bool = False


def told(stated: Stated) -> str:
    """What a line says, without its term."""
    statement = stated.statement
    start = statement.phrase[1] if statement.term is not None else stated.entry.indent
    return " ".join(stated.entry.text[start:].split())


def unlike(template: Stated, own: Stated) -> Unlike | None:
    """How a readable line differs from the template's line of the same term; None where it does not.

    Lines whose value is a number are alike here where they agree in all that is said beside it.
    """
    asked, body = template.statement.body, own.statement.body
    term = template.statement.term
    if isinstance(body, n.State) and body.word == "off" and not isinstance(asked, n.State):
        return Unlike("off")
    match asked, body:
        case n.State(), n.State():
            return None if asked.word == body.word else Unlike(body.word)
        case n.State(word="on"), _:
            return None
        case n.Words(), n.Words() if term is not None:
            return _words(term, asked, body)
        case n.ModeChoice(), n.ModeChoice():
            codes = {code.text for code in asked.codes}
            return next((Unlike(code.text) for code in body.codes if code.text not in codes), None)
        case n.Items(), n.Items():
            return _list(items_of(asked), items_of(body))
        case n.Measure(), n.Measure():
            if term is not None and term.kind == "window" and _is_open(template, own):
                return Unlike(f"{told(own)}, open at an end")
            return _beside(template.statement.values[""], own.statement.values[""])
        case n.Measure() | n.TableHead() | n.State() | n.Text() | n.Moment() | n.Signed(), _:
            return None
        case _:
            return None if _same(template, own) else Unlike(told(own))


def _words(term: Term, asked: n.Words, body: n.Words) -> Unlike | None:
    """Every alternative of the document must be one of the template's; a slot that the template leaves open is free."""
    options = [frozenset(word.text for word in words) for words in asked.alternatives]
    for words in body.alternatives:
        own = frozenset(word.text for word in words)
        fits = {_fit(term, option, own, options) for option in options}
        if "alike" not in fits:
            shown = render_body(n.Words((words,)), term)
            return Unlike(shown, is_open="open" in fits)
    return None


def _fit(term: Term, option: frozenset[str], own: frozenset[str], options: Sequence[frozenset[str]]) -> str:
    found = "alike"
    for slot in term.slots:
        asked, stated = option & set(slot.words), own & set(slot.words)
        known = frozenset[str]().union(*options) & set(slot.words)
        if not asked:
            continue
        if not stated:
            found = "open"
        elif not stated & asked or stated - known:
            return "other"
    return found


def _list(asked: Sequence[Item], own: Sequence[Item]) -> Unlike | None:
    """A list in its order: the same items, of the same size where both say it."""
    theirs, mine = [item.name for item in asked], [item.name for item in own]
    without = [name for name in dict.fromkeys(theirs) if theirs.count(name) > mine.count(name)]
    further = [name for name in dict.fromkeys(mine) if mine.count(name) > theirs.count(name)]
    if without or further:
        parts = [f"without {', '.join(without)}"] * bool(without) + [f"with {', '.join(further)}"] * bool(further)
        return Unlike(" and ".join(parts))
    if theirs != mine:
        return Unlike("in another order")
    for wanted, item in zip(asked, own, strict=True):
        if wanted.amount is not None and item.amount is not None and wanted.amount != item.amount:
            return Unlike(f"with {item.name} of another size")
    return None


def _is_open(template: Stated, own: Stated) -> bool:
    """Whether a target has no end where the template's has one."""
    asked, given = (window_ends(each.statement.values[""]) for each in (template, own))
    return any(wanted is not None and end is None for wanted, end in zip(asked, given, strict=True))


def _beside(asked: Quantity, own: Quantity) -> Unlike | None:
    """What stands beside a number: the place, how it is known, its delay, and whether the ventilator moves it."""
    for wanted, given in ((asked.place, own.place), (asked.manner, own.manner)):
        if wanted is not None and given is not None and wanted != given:
            return Unlike(given)
    if asked.delay is not None and own.delay is not None and asked.delay != own.delay:
        return Unlike("with another delay")
    automatic = (asked.kind == "automatic", own.kind == "automatic")
    if automatic == (False, True):
        return Unlike("moved by the ventilator itself")
    return Unlike("not moved by the ventilator itself") if automatic == (True, False) else None


def _same(template: Stated, own: Stated) -> bool:
    """Whether two lines without a range say the same. What cylinders hold is compared as a number."""
    if template.key in SUPPLIES and not _kind_of(template)[:1]:
        return True
    asked, given = _amounts(template), _amounts(own)
    return asked == given and _kind_of(template) == _kind_of(own)


def _amounts(stated: Stated) -> list[tuple[str, Fraction]]:
    body = stated.statement.body
    if isinstance(body, n.Part):
        return [("", body.number)]
    return [(name, each.points[0]) for name, each in stated.statement.values.items()]


def _kind_of(stated: Stated) -> tuple[object, ...]:
    match stated.statement.body:
        case n.Nebuliser() as body:
            return body.place, body.exchanger, body.returns
        case n.PreOxygenation() as body:
            return (body.end,)
        case n.Cylinder(letter=n.Phrase() as letter) as body:
            return letter.text, body.country
        case _:
            return ()


def lacking_items(template: Sequence[Stated], own: Sequence[Stated]) -> Iterator[str]:
    """What a template's bare list holds (what watches the patient, what must be at hand) and a document's does not.

    A device that must last for a time lacks where it lasts for less.
    """
    mine: dict[str, n.Item] = {item.name: item for stated in own for item in _items(stated)}
    for item in (item for stated in template for item in _items(stated)):
        given = mine.get(item.name)
        if given is None or _is_shorter(given, item):
            yield render_body(n.Items((item,)), None)


def _items(stated: Stated) -> tuple[n.Item, ...]:
    body = stated.statement.body
    return body.items if stated.statement.readable and isinstance(body, n.Items) else ()


def _is_shorter(given: n.Item, asked: n.Item) -> bool:
    first, second = items_of(n.Items((given, asked)))
    unit = unit_of(asked.amount.unit or "") if asked.amount is not None else None
    if unit is None or unit.dimension != TIME or first.amount is None or second.amount is None:
        return False
    return first.amount < second.amount

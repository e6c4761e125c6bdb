"""The canonical text of nodes: units by their symbols, numbers as they were written, words in the order of slots."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rxlint.notation import nodes as n
from rxlint.notation.amounts import is_another_unit
from rxlint.units import ALIASES, DISCOURAGED
from rxlint.vocabulary import Term, vocabulary

_QUALIFIERS: Final = ("reference", "basis", "at", "place", "manner", "after")  # the order in which they are written
_WITH_WORDS: Final = {"at most": "up to ", "at least": "at least "}


def quoted(text: str) -> str:
    """A text in quotation marks. Raises ValueError for a line feed, which no text can hold."""
    if "\n" in text:
        raise ValueError("a text can't go over a line's end")
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def render_heading(heading: n.Heading) -> str:
    """A heading as its line at the margin."""
    match heading.section:
        case "prescription" | "template":
            return f"{heading.section} {quoted(heading.title or '')}"
        case "checked":
            code = f"code {heading.code}" if heading.code is not None else None
            return _joined("checked", _moment(heading.moment), _by(heading.by), code)
        case "readings":
            change = f"{heading.change} change" if heading.change is not None else None
            moment = f"at {_moment(heading.moment)}" if heading.moment is not None else None
            return _joined("readings", change, moment, _by(heading.by))
        case "readings for":
            return f"readings for {_render_other(heading.link)}" if heading.link is not None else "readings for"
        case "back-up":
            delay = f"after apnoea {render_amount(heading.delay)}" if heading.delay is not None else None
            return _joined("back-up", delay, _period(heading.period))
        case _:
            return _joined(heading.section, _period(heading.period))


def render_body(body: n.Body, term: Term | None) -> str:
    """What follows the term of a detail. ``term`` is None for a stage of time off and for a bare list."""
    match body:
        case n.Measure():
            return render_measure(body)
        case n.State():
            return _joined(body.word, _because(body.because))
        case n.After():
            return f"after {render_amount(body.amount)}"
        case n.TableHead():
            return f"by {vocabulary().terms[body.key.text].phrase}"
        case n.Words():
            return _words(body, term)
        case n.ModeChoice():
            return " or ".join(code.text for code in body.codes)
        case n.Items():
            return ", ".join(_joined(item.name, _optional(item.amount)) for item in body.items)
        case n.Phrase() | n.Part() | n.Relation():
            return body.text
        case _:
            return _render_other(body)


def _render_other(body: n.Body) -> str:
    match body:
        case n.Text():
            return quoted(body.text)
        case n.Moment():
            return _joined(_moment(body))
        case n.Signed():
            return _joined(_moment(body.moment), _by(body.by))
        case n.Link():
            return f"{body.id.text} revision {body.revision.text}"
        case n.Cylinder():
            letter = body.letter.text if body.letter is not None else None
            pressure = f"at {render_amount(body.pressure)}" if body.pressure is not None else None
            return _joined(_optional(body.contents), letter, body.country, pressure)
        case n.PreOxygenation():
            return _joined(render_amount(body.fraction), _lasting(body.duration), body.end)
        case n.Nebuliser():
            exchanger = f"exchanger {body.exchanger}" if body.exchanger is not None else None
            returns = "and returns" if body.returns else None
            return _joined(f"on {body.place}", exchanger, _lasting(body.duration), returns)
        case _:
            return _render_sentence(body)


def _render_sentence(body: n.Body) -> str:
    match body:
        case n.Step():
            return _step(body)
        case n.Condition():
            return render_condition(body)
        case n.Call():
            when = f"when {render_condition(body.when)}" if body.when is not None else None
            return _joined(quoted(body.whom), when)
        case n.Gases():
            return f"at {_listed([render_amount(each) for each in body.at])}"
        case n.Stage():
            on = f"on {body.on.text}" if body.on is not None else None
            return _joined(render_amount(body.duration), _optional(body.times), on)
        case n.Extend():
            every = "every day" if body.daily else f"every {render_amount(body.every)}" if body.every else None
            up_to = f"up to {render_amount(body.up_to)}" if body.up_to is not None else None
            return _joined(f"by {render_amount(body.by)}", every, up_to)
        case n.Accept():
            return _accept(body)
        case _:
            raise TypeError(f"no body of a detail: {type(body).__name__}")


def render_row(row: n.Row) -> tuple[str, str]:
    """A row of a table: its key and its value."""
    amounts = [render_amount(each) for each in row.key.amounts]
    key = {
        "between": " to ".join(amounts),
        "under": f"under {amounts[0]}",
        "over": f"{amounts[0]} and over",
        "exact": amounts[0],
    }[row.key.kind]
    return key, render_measure(row.measure)


def render_measure(measure: n.Measure) -> str:
    """A value with its qualifiers, and what may be set without a new order."""
    qualifiers = sorted(measure.qualifiers, key=lambda each: _QUALIFIERS.index(each.kind))
    allow = f"allow {_value(measure.allow)}" if measure.allow is not None else None
    steps = f"in steps of {render_amount(measure.steps)}" if measure.steps is not None else None
    return _joined(_value(measure.value), *(_qualifier(each) for each in qualifiers), allow, steps)


def render_amount(amount: n.Amount) -> str:
    """A number with its unit where it has one, or an age in its parts."""
    return " ".join(_joined(part.text, _symbol(part.unit)) for part in amount.parts)


def render_condition(condition: n.Condition) -> str:
    """A condition of readings."""
    return " or ".join(" and ".join(_comparison(each) for each in both) for both in condition.either)


def _symbol(unit: str | None) -> str | None:
    """The standard symbol of a unit; a spelling whose number would have to change with it stays as it is."""
    if unit is not None and unit in DISCOURAGED and not is_another_unit(unit):
        return DISCOURAGED[unit][0]
    return ALIASES.get(unit, unit) if unit is not None else None


def _value(value: n.Value) -> str:
    amounts = [render_amount(each) for each in value.amounts]
    match value.kind:
        case "between":
            return " to ".join(amounts)
        case "automatic":
            return f"automatic between {' and '.join(amounts)}"
        case _:
            return _WITH_WORDS.get(value.kind, "") + " or ".join(amounts)


def _qualifier(qualifier: n.Qualifier) -> str:
    match qualifier.kind:
        case "reference":
            return f"above {qualifier.word}"
        case "basis":
            return f"of {qualifier.word}"
        case "manner":
            return _joined(qualifier.word, qualifier.date)
        case "place":
            return f"at {qualifier.word}"
        case _:
            return _joined(qualifier.kind, _optional(qualifier.amount))


def _words(body: n.Words, term: Term | None) -> str:
    order = {word: index for index, slot in enumerate(term.slots) for word in slot.words} if term is not None else {}
    between = ", " if term is not None and term.many else " "
    alternatives = (sorted(words, key=lambda word: order.get(word.text, 0)) for words in body.alternatives)
    return " or ".join(between.join(word.text for word in words) for words in alternatives)


def _step(body: n.Step) -> str:
    limit = None
    if body.limit is not None:
        reference = f"above {body.limit.reference}" if body.limit.reference is not None else None
        limit = _joined(body.limit.word, render_amount(body.limit.amount), reference)
    return _joined(
        " and ".join(term.text for term in body.terms),
        f"by {render_amount(body.step)}",
        f"every {render_amount(body.every)}" if body.every is not None else None,
        limit,
        f"when {render_condition(body.when)}" if body.when is not None else None,
    )


def _comparison(comparison: n.Comparison) -> str:
    amount = render_amount(comparison.amount)
    return _joined(comparison.reading.text, comparison.compare, amount, _lasting(comparison.duration))


def _accept(body: n.Accept) -> str:
    return _joined(
        body.rule.text,
        f"on {body.term.text}" if body.term is not None else None,
        f"at {render_accepted_value(body.value)}" if body.value is not None else None,
        f"in {body.period}" if body.period is not None else None,
        f"until {body.until.text}" if body.until is not None else None,
        _because(body.because),
        _by(body.by),
    )


def render_accepted_value(value: n.AcceptedValue) -> str:
    """The value that a finding was accepted at."""
    return _joined(render_amount(value.amount), _qualifier(value.qualifier) if value.qualifier is not None else None)


def _period(period: n.Period | None) -> str | None:
    if period is None:
        return None
    up_to = f"up to {render_amount(period.up_to)}" if period.up_to is not None else None
    windows = " and ".join(f"{each.start_time} to {each.end_time}" for each in period.windows)
    return _joined(period.name, period.use, up_to, f"from {windows}" if windows else None)


def _moment(moment: n.Moment | None) -> str | None:
    return _joined(moment.date, moment.time) if moment is not None else None


def _by(role: str | None) -> str | None:
    return f"by {quoted(role)}" if role is not None else None


def _because(reason: str | None) -> str | None:
    return f"because {quoted(reason)}" if reason is not None else None


def _lasting(duration: n.Amount | None) -> str | None:
    return f"for {render_amount(duration)}" if duration is not None else None


def _optional(amount: n.Amount | None) -> str | None:
    return render_amount(amount) if amount is not None else None


def _listed(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]


def _joined(*parts: str | None) -> str:
    found: Iterable[str] = (part for part in parts if part)
    return " ".join(found)

"""What a policy fixes: a setting and its value as the notation writes it, as a condition of the rule language."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rxlint.model.quantities import has_state, is_other, other_key
from rxlint.notation import nodes as n
from rxlint.notation.statements import Statement
from rxlint.packs.pack import Pack
from rxlint.packs.reading import Reader
from rxlint.packs.written import WEIGHTS, amount_text, measured_as, read_written
from rxlint.packs.yaml_tree import Scalar, Tree
from rxlint.vocabulary import Term, vocabulary


@dataclass(frozen=True, slots=True)
class Fixed:
    """A fixed value: its condition, how the document's own value is told, and what is always set, as written.

    ``sets`` is the value as an expression, where a document can be offered it; ``may_be_off`` of a term that could be
    switched off instead.
    """

    setting: str
    require: str
    told: str
    stated: str
    sets: str = ""
    may_be_off: bool = False


def read_fixed(reader: Reader, setting: str, to: Tree, packs: Sequence[Pack]) -> Fixed | None:
    """What a setting is fixed to; None, with a fault at its place, where it can't be."""
    if not isinstance(to, Scalar) or not to.text.strip():
        reader.fault(to.spot, "to must be text")
        return None
    term = vocabulary().terms[setting]
    statement = read_written(reader, term, to, "to", packs)
    if statement is None:
        return None
    stated = " ".join(to.text.split())
    match statement.body:
        case n.Measure() as body:
            return _measure(reader, setting, term, statement, body, to)
        case n.State(word=word):
            key = f"{setting} state" if has_state(term) else setting
            return Fixed(setting, f"{key} is {word}", f"{{{key}}}", word)
        case n.After(amount=amount):
            text = amount_text(amount, statement.values[""].points[0], statement.values[""], None)
            return Fixed(setting, f"{setting} = {text}", f"{{{setting}}}", stated, text, has_state(term))
        case n.Part(text=text):
            return Fixed(setting, f"{setting} = {text}", f"{{{setting}}}", stated, text)
        case n.ModeChoice(codes=(code,)):
            return Fixed(setting, f"{setting} is {code.text}", f"{{{setting}}}", stated)
        case n.Words(alternatives=(words,)):
            return Fixed(setting, _words(setting, term, {word.text for word in words}), f"{{{setting}}}", stated)
    told = f"to: {setting} can't be fixed to this; a rule of the policy can ask for it"
    several = f"to: {setting} is fixed to one value, not to a choice of several"
    reader.fault(to.spot, several if isinstance(statement.body, n.Words | n.ModeChoice) else told)
    return None


def _measure(
    reader: Reader, setting: str, term: Term, statement: Statement, body: n.Measure, to: Scalar
) -> Fixed | None:
    quantity = statement.values[""]
    if term.kind == "window":
        return _window(reader, setting, term, statement, body, to)
    if quantity.kind != "exact" or body.allow is not None or body.steps is not None:
        reader.fault(to.spot, "to is one value; a range stands under limits")
        return None
    extra = next((each for each in body.qualifiers if each.kind not in ("reference", "basis")), None)
    if extra is not None:
        reader.fault(to.spot, "to is an amount alone, with what it is above or per")
        return None
    key = other_key(term, quantity.unit) if is_other(term, quantity) else setting
    measured = measured_as(reader, key, term, quantity, to)
    if measured is None:
        return None
    amount = amount_text(body.value.amounts[0], quantity.points[0], quantity, None)
    sets = {key: amount, f"{key} - baseline": f"baseline + {amount}"}.get(measured, "")
    if quantity.basis in WEIGHTS:
        sets = f"{amount} * {WEIGHTS[quantity.basis]}"
    tail = f" of {quantity.basis}" if quantity.basis else " above PEEP" if measured.endswith("baseline") else ""
    unit = f" in {quantity.unit.symbol}" if measured != key else ""
    stated = " ".join(to.text.split())
    may_be_off = has_state(term)
    told = f"{{{measured}{unit}}}{tail}"
    return Fixed(setting, f"{measured} = {amount}", told, stated, sets if key == setting else "", may_be_off)


def _window(
    reader: Reader, setting: str, term: Term, statement: Statement, body: n.Measure, to: Scalar
) -> Fixed | None:
    """A target is fixed by both of its ends."""
    quantity = statement.values[""]
    if quantity.kind != "between" or quantity.basis is not None:
        reader.fault(to.spot, f"to: {setting} is fixed to both of its ends, such as 88 to 92 %")
        return None
    fallback = next((amount.unit for amount in reversed(body.value.amounts) if amount.unit), None)
    pairs = zip(body.value.amounts, quantity.points, strict=True)
    low, high = (amount_text(amount, point, quantity, fallback) for amount, point in pairs)
    ends = f"target low {term.phrase}", f"target high {term.phrase}"
    require = f"{ends[0]} = {low} and {ends[1]} = {high}"
    return Fixed(setting, require, f"{{{ends[0]}}} to {{{ends[1]}}}", " ".join(to.text.split()))


def _words(setting: str, term: Term, words: set[str]) -> str:
    """Every word that is fixed, of the first slot and of the others; slots that the policy leaves out are free."""
    first, *others = term.slots
    conditions = [f"{setting} is {word}" for word in first.words if word in words]
    if term.many:
        conditions += [f"{setting} is not {word}" for word in first.words if word not in words]
    whole = " and ".join(conditions)
    # a part that an order leaves open is not what is fixed: asked with presence, it is a deviation. Where the term is
    # not stated at all, the first question has no answer, and nothing is said
    chosen = [(slot.name, word) for slot in others for word in slot.words if word in words]
    if not chosen:
        return whole
    rest = " and ".join(f"{name} is stated and {name} is {word}" for name, word in chosen)
    return f"if ({whole}) then ({rest}) else ({whole})"

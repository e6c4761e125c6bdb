"""What a policy allows: ``4 to 8 cmH2O``, ``up to X``, ``at least X``, as a condition of the rule language."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Node, NumberType, nodes
from rxlint.model.quantities import is_other, other_key
from rxlint.notation import nodes as n
from rxlint.packs.pack import Pack
from rxlint.packs.reading import Reader
from rxlint.packs.written import amount_text, measured_as, read_written
from rxlint.packs.yaml_tree import Scalar, Tree
from rxlint.vocabulary import Term, vocabulary

_FORMS: Final = frozenset({"quantity", "fraction", "age", "number", "ratio"})
_NEEDED: Final = "allow is LOW to HIGH, up to HIGH, or at least LOW"


@dataclass(frozen=True, slots=True)
class Allowed:
    """What is allowed of a term: the condition, the expression it measures and how its value is told, as written.

    ``low`` and ``high`` are in base units; None where there is no such limit.
    """

    require: str
    measured: str
    told: str
    stated: str
    low: Fraction | None
    high: Fraction | None


def read_allowed(reader: Reader, of: str, allow: Tree, packs: Sequence[Pack]) -> Allowed | None:
    """What is allowed of a term; None, with a fault at its place, where that can't be read."""
    if not isinstance(allow, Scalar) or not allow.text.strip():
        reader.fault(allow.spot, "allow must be text")
        return None
    if not isinstance(reader.names.type_of(reader.names.spellings()[of]), NumberType):
        reader.fault(allow.spot, f"allow: {of} is no number; fixed or a rule of the policy can ask for a word")
        return None
    term = vocabulary().terms.get(of)
    if term is not None and term.form in _FORMS and term.kind not in ("window", "measured"):
        return _stated(reader, of, term, allow, packs)
    return _computed(reader, of, allow)


def _stated(reader: Reader, of: str, term: Term, allow: Scalar, packs: Sequence[Pack]) -> Allowed | None:
    """A term that a document states: its limits are read as its own line would be."""
    statement = read_written(reader, term, allow, "allow", packs)
    body = statement.body if statement is not None else None
    if statement is None or not isinstance(body, n.Measure):
        return None
    quantity = statement.values[""]
    extra = body.allow or body.steps or next((e for e in body.qualifiers if e.kind not in ("reference", "basis")), None)
    if quantity.kind not in ("between", "at most", "at least") or extra is not None:
        reader.fault(allow.spot, _NEEDED)
        return None
    key = other_key(term, quantity.unit) if is_other(term, quantity) else of
    measured = measured_as(reader, key, term, quantity, allow)
    if measured is None:
        return None
    fallback = next((amount.unit for amount in reversed(body.value.amounts) if amount.unit), None)
    pairs = list(zip(quantity.points, body.value.amounts, strict=True))
    texts = [amount_text(amount, point, quantity, fallback) for point, amount in pairs]
    tail = f" of {quantity.basis}" if quantity.basis else " above PEEP" if measured.endswith("- baseline") else ""
    told = f"{{{measured}}}" if measured == key else f"{{{measured} in {quantity.unit.symbol}}}{tail}"
    return _made(measured, told, " ".join(allow.text.split()), quantity.kind, texts, quantity.points)


def _computed(reader: Reader, of: str, allow: Scalar) -> Allowed | None:
    """A derived term, a delay, an end of a target: its limits are amounts of the rule language."""
    text = " ".join(allow.text.split())
    kind, ends = _split(text)
    if not kind:
        reader.fault(allow.spot, _NEEDED)
        return None
    found: list[tuple[str, Fraction]] = []
    for end in ends:
        read = reader.number(end)
        value = _literal(read.node) if read.node is not None else None
        if value is None:
            told = read.errors[0] if read.errors else None
            reader.fault(allow.spot, f"allow: {told.message}" if told else _NEEDED, told.suggestions if told else ())
            return None
        found.append((end, value))
    points = tuple(value for _, value in found)
    if kind == "between" and points[0] >= points[1]:
        reader.fault(allow.spot, f"allow runs from high to low: {text}")
        return None
    made = _made(of, f"{{{of}}}", text, kind, [end for end, _ in found], points)
    read = reader.condition(made.require)
    for problem in read.errors:
        reader.fault(allow.spot, f"allow: {problem.message}", problem.suggestions)
    return made if read.node is not None else None


def _split(text: str) -> tuple[str, tuple[str, ...]]:
    """Which ends are given, and the ends; the first without a unit has that of the second."""
    if text.startswith("up to "):
        return "at most", (text.removeprefix("up to "),)
    if text.startswith("at least "):
        return "at least", (text.removeprefix("at least "),)
    low, separator, high = text.partition(" to ")
    if not separator:
        return "", ()
    unit = high.partition(" ")[2]
    return "between", (low if " " in low or not unit else f"{low} {unit}", high)


def _literal(node: Node) -> Fraction | None:
    """The value of an amount; None for anything that has to be worked out."""
    if isinstance(node, nodes.Number):
        return node.value
    if isinstance(node, nodes.Unary) and node.operator == "-" and isinstance(node.operand, nodes.Number):
        return -node.operand.value
    return None


def _made(
    measured: str, told: str, stated: str, kind: str, texts: Sequence[str], points: Sequence[Fraction]
) -> Allowed:
    if kind == "between":
        low, high = min(points), max(points)
        first, second = texts if points[0] == low else (texts[1], texts[0])
        return Allowed(f"{measured} is between {first} and {second}", measured, told, stated, low, high)
    if kind == "at most":
        return Allowed(f"{measured} <= {texts[0]}", measured, told, stated, None, points[0])
    return Allowed(f"{measured} >= {texts[0]}", measured, told, stated, points[0], None)

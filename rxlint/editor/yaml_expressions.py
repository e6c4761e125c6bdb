"""Expressions of rules while they are written: what may come next, what a part of one means, and how it was read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from lark.exceptions import UnexpectedToken

from rxlint.editor.completion_offers import Offer, fit
from rxlint.editor.hover_words import derived_markdown, term_detail, term_markdown
from rxlint.expressions import ListType, Node, NumberType, Type, WordsType, check, children, nodes, parse, show
from rxlint.expressions.lexicon import Lexicon, Spelled, lexicon_of
from rxlint.expressions.parse import LONGEST, grammar
from rxlint.model.context import HOMES
from rxlint.model.names import NameTable, derived_terms, shown_key
from rxlint.packs.pack import Defined
from rxlint.physiology import FORMULAS
from rxlint.reports.rule_markdown import code, plain
from rxlint.reports.terms_page import kind_in_words, meaning_of
from rxlint.units import UNITS, Unit, units_of
from rxlint.vocabulary import vocabulary
from rxlint.vocabulary.phrases import PhraseInput, Unexpected, chunks_of, where_it_stopped

_LONGEST_PHRASE: Final = 8  # words of a name that is being typed
_INSIDE: Final = 1_000  # added where what is typed begins another word than the first
_LAST: Final = 500  # of what the name before it does not call for
_MOST_WORDS: Final = 12  # that are listed of a name


@dataclass(frozen=True, slots=True)
class Chosen:
    """Something that may come next: where what it takes the place of begins in the text, and how well it fits."""

    offer: Offer
    start: int
    rank: int


# ---- what may come next


def next_of(text: str, names: NameTable, defined: Mapping[str, Defined]) -> Iterator[Chosen]:
    """What may come at the end of an expression that is begun, by each way to cut off a name that is being typed."""
    if len(text) > LONGEST:
        return
    lexicon = lexicon_of(names)
    chunks = chunks_of(text)
    is_typed = bool(chunks) and chunks[-1].end == len(text) and chunks[-1].kind == "word"
    for length in range(int(is_typed), min(_LONGEST_PHRASE, len(chunks)) + 1):
        kept, phrase = chunks[: len(chunks) - length], chunks[len(chunks) - length :]
        if any(chunk.kind != "word" for chunk in phrase):
            break
        source = PhraseInput(kept, lexicon.classes, len(text))
        stopped = _stopped(source)
        if stopped.at < len(kept):
            continue
        words = tuple(chunk.text for chunk in phrase) + (() if is_typed else ("",))
        start = phrase[0].start if phrase else len(text)
        for offer in _offers(stopped, source, names, defined, lexicon):
            found = fit(offer.text, words)
            if found is not None:
                yield Chosen(offer, start, offer.rank + (_INSIDE if found else 0))


def _stopped(source: PhraseInput) -> Unexpected:
    at = len(source.chunks)
    try:
        grammar().parse(source)
    except Unexpected as trouble:
        at = trouble.at
    except UnexpectedToken as trouble:
        at = at if trouble.token.type == "$END" else source.trail[-1][0]
    return where_it_stopped(grammar(), source, "start", at)


def _offers(
    stopped: Unexpected, source: PhraseInput, names: NameTable, defined: Mapping[str, Defined], lexicon: Lexicon
) -> Iterator[Offer]:
    keys = [value.key for _, token in source.trail if isinstance(value := token.value, Spelled)]
    known = [key for key in keys if key in names.types]
    kind = names.type_of(known[-1]) if known else None
    after_number = bool(source.trail) and source.trail[-1][1].type in ("NUMBER", "NEGATIVE")
    if "UNIT" in stopped.accepts:
        yield from _units(kind)
    yield from _keywords(stopped, _LAST if after_number else 0)
    if not after_number:
        yield from _words(stopped.accepts, kind, lexicon)
        yield from _names(stopped.accepts, names, defined, lexicon)


def _words(accepts: frozenset[str], kind: Type | None, lexicon: Lexicon) -> Iterator[Offer]:
    """Words and items: those of the name before the place, where it has some."""
    if "WORD" in accepts:
        own = sorted(kind.words) if isinstance(kind, WordsType) else []
        for at, word in enumerate(own or lexicon.words):
            yield Offer(word, "word", rank=at if own else _LAST + at)
    if "ITEM" in accepts:
        parts = [*sorted(kind.items), *sorted(kind.groups)] if isinstance(kind, ListType) else list(lexicon.items)
        for at, part in enumerate(parts):
            yield Offer(part, "item", rank=_LAST + at)


def _names(
    accepts: frozenset[str], names: NameTable, defined: Mapping[str, Defined], lexicon: Lexicon
) -> Iterator[Offer]:
    """Terms, those of the pack's own first, and functions."""
    if "NAME" in accepts:
        for at, (name, key) in enumerate(names.spellings().items()):
            rank = (0 if key in defined else 100) + at
            yield Offer(name, "term", name_detail(key, names, defined), rank=rank)
    if "FUNCTION" in accepts:
        for name in lexicon.functions:
            yield Offer(f"{name} of (", "keyword", function_detail(name), rank=_LAST)
    if "BASIS" in accepts:
        for base in lexicon.bases:
            yield Offer(f"of {base}", "unit", rank=_LAST)


def _units(kind: Type | None) -> Iterator[Offer]:
    fitting = units_of(kind.dimension) if isinstance(kind, NumberType) and kind.dimension.exponents else []
    for at, symbol in enumerate(fitting):
        yield Offer(symbol, "unit", UNITS[symbol].dimension.describe(), rank=at)
    for symbol, unit in UNITS.items():
        if symbol not in fitting:
            yield Offer(symbol, "unit", unit.dimension.describe(), rank=_LAST)


def _keywords(stopped: Unexpected, rank: int) -> Iterator[Offer]:
    for word in stopped.keywords:
        if word[:1].isalpha():
            yield Offer(word, "keyword", rank=rank)


# ---- what is told of a name


def name_detail(key: str, names: NameTable, defined: Mapping[str, Defined]) -> str:
    """What a name says, in one line with its unit."""
    term = vocabulary().terms.get(key)
    if term is not None:
        return term_detail(term)
    own, derived = defined.get(key), derived_terms().get(key)
    if own is not None:
        return _with_unit(" ".join(own.means.split()), own.unit)
    if derived is not None:
        return _with_unit(derived.means, derived.unit)
    return meaning_of(key) or kind_in_words(names.type_of(key)).replace("`", "")


def _with_unit(told: str, unit: Unit | None) -> str:
    return f"{told}, in {unit.symbol}" if unit is not None and unit.symbol else told


def name_markdown(key: str, names: NameTable, defined: Mapping[str, Defined]) -> str:
    """What a name means, what its value is, and how it is worked out."""
    own = defined.get(key)
    if own is not None:
        lines = [
            f"**{plain(shown_key(key))}** (defined by the pack): {plain(own.means)}",
            f"As: {code(show(own.node))}",
            f"Source: {plain(own.source)}",
        ]
        text = "\n\n".join(lines)
    else:
        term = vocabulary().terms.get(key)
        text = term_markdown(term) if term is not None else derived_markdown(key) or _further(key)
    return f"{text}\n\nValue: {_kind(names.type_of(key), _unit_of(key, defined))}"


def _further(key: str) -> str:
    home = f"\n\nComes from: {code(HOMES[key])}" if key in HOMES else ""
    meant = meaning_of(key)
    return f"**{plain(key)}**{': ' + meant if meant else ''}{home}"


def _unit_of(key: str, defined: Mapping[str, Defined]) -> Unit | None:
    own, derived, term = defined.get(key), derived_terms().get(key), vocabulary().terms.get(key)
    return own.unit if own is not None else derived.unit if derived is not None else term.unit if term else None


def _kind(kind: Type, unit: Unit | None = None) -> str:
    """What a value is, in words, with its usual unit."""
    told = kind_in_words(kind)
    symbols = units_of(kind.dimension) if isinstance(kind, NumberType) and kind.dimension.exponents else []
    symbol = unit.symbol if unit is not None else next(iter(symbols), "")
    return f"{told}, in {symbol}" if symbol and isinstance(kind, NumberType) else told


def function_detail(name: str) -> str:
    """What a function takes and gives."""
    formula = FORMULAS[name]
    given = ", ".join(f"{argument} ({dimension.describe()})" for argument, dimension in formula.arguments)
    return f"takes {given}; gives {formula.result.describe()}"


# ---- what is told of an expression


def told_at(text: str, offset: int, names: NameTable, defined: Mapping[str, Defined]) -> tuple[int, int, str] | None:
    """What stands at an offset of an expression, from where to where, and what is to be told of it; of an expression
    that can't be read, why.
    """
    read = parse(text, names)
    if read.node is None:
        return None
    checked = check(read.node, names)
    at = _smallest(read.node, offset)
    whole = f"Read as {code(bracketed(read.node))}"
    if checked.type is not None and not checked.errors:
        whole += f"\n\nGives: {_kind(checked.type)}"
    if isinstance(at, nodes.Name):
        return at.start, at.end, f"{name_markdown(at.key, names, defined)}\n\n---\n\n{whole}"
    if isinstance(at, nodes.Call):
        named = f"**{plain(at.function.name)}**: {plain(function_detail(at.function.name))}"
        return at.start, at.end, f"{named}\n\n---\n\n{whole}"
    if at is not None and at is not read.node and not isinstance(at, nodes.Number):
        part = check(at, names)
        kind = f"\n\nGives: {_kind(part.type)}" if part.type is not None and not part.errors else ""
        return at.start, at.end, f"This part: {code(bracketed(at))}{kind}\n\n---\n\n{whole}"
    return read.node.start, read.node.end, whole


def _smallest(node: Node, offset: int) -> Node | None:
    if not node.start <= offset <= node.end:
        return None
    inside = [found for child in children(node) if (found := _smallest(child, offset)) is not None]
    return inside[0] if inside else node


def bracketed(node: Node) -> str:
    """An expression with every part in brackets that is worked out by itself."""
    match node:
        case nodes.Logic(operator=operator, parts=parts):
            return f" {operator} ".join(map(_part, parts))
        case nodes.Not(operand=operand):
            return f"not {_part(operand)}"
        case nodes.Binary(operator=operator, left=left, right=right):
            return f"{_part(left)} {operator} {_part(right)}"
        case nodes.Compare(operator=operator, left=left, right=right, within=within):
            tail = f" within {_part(within)}" if within is not None else ""
            return f"{_part(left)} {operator} {_part(right)}{tail}"
        case nodes.Between(value=value, low=low, high=high):
            return f"{_part(value)} is between {_part(low)} and {_part(high)}"
        case nodes.Choice(condition=condition, yes=yes, no=no):
            return f"if ({bracketed(condition)}) then ({bracketed(yes)}) else ({bracketed(no)})"
        case _:
            return show(node)


def _part(node: Node) -> str:
    is_whole = isinstance(node, nodes.Name | nodes.Number | nodes.Call | nodes.Extreme)
    return bracketed(node) if is_whole else f"({bracketed(node)})"

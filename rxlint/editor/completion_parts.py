"""What may follow in a statement: units, words, items, modes, names and keywords, by what the grammar accepts there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rxlint.editor.completion_names import conditions, documents, periods, rules, table_keys, terms_named
from rxlint.editor.completion_offers import Ask, Offer, blocks_of, stands_on
from rxlint.editor.completion_terms import OTHER_HEADINGS
from rxlint.editor.completion_units import MEASURED, NUMBERS, keys_in_row, terms_called, units_at
from rxlint.editor.hover_words import KEYWORDS, mode_markdown
from rxlint.notation import nodes as n
from rxlint.notation.amounts import unit_of
from rxlint.notation.takes import states_of, takes_allow, takes_automatic, takes_off, takes_qualifier
from rxlint.units import WEIGHT, without_basis
from rxlint.vocabulary import Term, vocabulary

_RANGES: Final = frozenset({"to", "or", "up to", "at least"})
_SECTIONS: Final = frozenset({*OTHER_HEADINGS, "readings", "back-up"})  # keywords that are offered as headings
_OF_KEYS: Final = frozenset({"to", "and over", "under"})
_SELDOM: Final = frozenset({"above ambient", "above PEEP", "total", "automatic"})
_WHOLE: Final = {"off": "off because", "automatic": "automatic between"}  # what is of no use without its second word
_REFERENCES: Final = {"above ambient": "ambient", "total": "ambient", "above PEEP": "PEEP"}
_ORDER: Final = (  # of the keywords of sentences and headings, as they follow one another
    *("on", "before change", "after change", "at", "every", "up to", "down to", "in", "until", "because"),
    *("when", "for", "and", "or", "by", "code"),
)
_NEXT: Final = frozenset({("raise", "by"), ("delay", "after")})  # what comes next there, and late elsewhere
_UNIT, _WORD, _KEYWORD, _LATE = 0, 0, 100, 300


def offers_of_part(ask: Ask, accepts: frozenset[str]) -> Iterator[Offer]:
    """What may stand next, by the terminals that the grammar accepts."""
    if "UNIT" in accepts:
        yield from _units(ask)
    if "WORD" in accepts:
        yield from _words(ask)
    if "ITEM" in accepts:
        yield from _items(ask)
    if "MODE" in accepts:
        yield from _modes()
    if "MANNER" in accepts and not ask.has_kind("MANNER") and not ask.is_after_number and _takes(ask, "manner"):
        manner = ask.term.manner if ask.term is not None else ()
        yield from (Offer(word, "word", "how it is known", rank=50 + at) for at, word in enumerate(manner))
    if "COUNTRY" in accepts:
        yield from (Offer(word, "word", "whose letters of cylinders") for word in vocabulary().tries["COUNTRY"].phrases)
    yield from _names(ask, accepts)
    if ask.last is not None and ask.last.text == "of":
        yield from _weights("")
    yield from _keywords(ask)


def _names(ask: Ask, accepts: frozenset[str]) -> Iterator[Offer]:
    """What other parts of the text, the rules or the library name."""
    if "READING" in accepts:
        yield from conditions()
    if "TERM" in accepts:
        yield from terms_named(ask)
    if "KEY_TERM" in accepts:
        yield from table_keys(ask)
    if "RULE" in accepts:
        yield from rules(ask)
    if "LABEL" in accepts and not (ask.last is not None and ask.last.kind == "LABEL"):
        yield from periods(ask)
    if "PLACE" in accepts and ask.last is not None and ask.last.text == "at" and ask.term is not None:
        yield from (Offer(word, "word", "where") for word in ask.term.places)
    if ask.form == "link":
        yield from documents(ask)


# ---- units


def _units(ask: Ask) -> Iterator[Offer]:
    for at, symbol in enumerate(units_at(ask.form, ask.term, ask.key, ask.pieces, ask.section)):
        unit = unit_of(symbol)
        detail = unit.dimension.describe() if unit is not None else ""
        yield Offer(symbol, "unit", "" if detail == "plain number" else detail, rank=_UNIT + at)


def _is_weighed(ask: Ask) -> bool:
    """Whether the value before the place is per kilogram of a weight that is not told yet."""
    if ask.term is None or not ask.term.per_weight or ask.has_kind("BASIS"):
        return False
    found = [unit_of(piece.text) for piece in ask.pieces if piece.kind == "UNIT"]
    whole = [unit.dimension / WEIGHT for unit in ask.term.units]
    return any(unit is not None and without_basis(unit.dimension) in whole for unit in found)


def _weights(before: str) -> Iterator[Offer]:
    names = vocabulary().tries["BASIS"].phrases
    for at, (name, basis) in enumerate(sorted(names.items(), key=lambda each: each[0] != each[1])):
        said = "of which weight a value per kilogram is" if name == basis else f"the same as {basis}"
        yield Offer(f"{before}{name}", "word", said, rank=at)


# ---- words and lists


def _words(ask: Ask) -> Iterator[Offer]:
    if ask.form == "stage":
        words = vocabulary().sections["airway"].terms["interface"].slots[0].words
        yield from (Offer(word, "word", "what the patient breathes through", rank=at) for at, word in enumerate(words))
        return
    term = ask.term
    if term is None:
        return
    last = max((at for at, piece in enumerate(ask.pieces) if piece.text == "or"), default=-1)
    said = {piece.text for piece in ask.pieces[last + 1 :] if piece.kind == "WORD"}
    for index, slot in enumerate(term.slots):
        if said & set(slot.words) and not term.many:
            continue
        for at, word in enumerate(slot.words):
            if word not in said:
                yield Offer(word, "word", slot.name, rank=_WORD + 50 * index + at)


def _modes() -> Iterator[Offer]:
    for index, mode in enumerate(vocabulary().modes.values()):
        yield Offer(mode.code, "mode", mode.help, mode_markdown(mode), index + (0 if mode.checked else 100))


def _items(ask: Ask) -> Iterator[Offer]:
    """The parts of a circuit in their order, those after the last one first; of other lists, what is not in them."""
    name = ask.term.items if ask.term is not None and ask.term.items else ask.section
    items = vocabulary().items.get(name)
    if items is None:
        return
    own = [piece.text for piece in ask.pieces if piece.kind == "ITEM"]
    if name == "circuit":
        order = {member: index for index, member in enumerate(items.members)}
        last = order.get(own[-1], -1) if own else -1
        for member, index in order.items():
            rank = index + (200 if member in own else 0 if index > last else 100)
            yield Offer(member, "item", "part of the circuit", rank=rank)
        return
    listed = {*own, *_listed(ask)}
    for index, member in enumerate(items.members):
        if member not in listed:
            yield Offer(member, "item", ask.section, rank=index)


def _listed(ask: Ask) -> Iterator[str]:
    """The items that other lines of the section name."""
    for block in blocks_of(ask.snapshot, ask.section, ask.where.period):
        for entry in block.details:
            body = entry.statement.body if entry.statement is not None else None
            if isinstance(body, n.Items) and not stands_on(entry, ask.where.position.line):
                yield from (item.name for item in body.items)


# ---- keywords


def _keywords(ask: Ask) -> Iterator[Offer]:
    for at, word in enumerate(ask.keywords):
        if not word[:1].isalpha() or (ask.form == "heading" and not ask.pieces and word in _SECTIONS):
            continue
        if ask.form in ("state", "delay") and word in ("on", "off", "yes", "no"):
            yield from _states(ask, word)
        elif ask.form in MEASURED or ask.form == "row":
            yield from _of_measure(ask, word)
        elif not _lacks_unit(ask) and _fits_sentence(ask, word):
            place = _ORDER.index(word) if word in _ORDER else len(_ORDER) + at
            is_seldom = word in _RANGES and not ask.is_template and ask.form == "words"
            rank = _KEYWORD + (0 if (ask.form, word) in _NEXT else place) + (_LATE if is_seldom else 0)
            text = "after apnoea" if ask.form == "heading" and word == "after" else word
            yield Offer(text, "keyword", KEYWORDS.get(text, ""), rank=rank)


def _states(ask: Ask, word: str) -> Iterator[Offer]:
    term = ask.term
    if term is not None and word in states_of(term):
        is_off = word == "off" and takes_off(term)
        yield Offer(
            "off because" if is_off else word, "word", KEYWORDS["off"] if is_off else "", rank=_KEYWORD + is_off
        )


def _fits_sentence(ask: Ask, word: str) -> bool:
    """Whether a keyword makes sense in a sentence: a step upwards ends upwards, an accepted value is of its term."""
    if ask.form == "raise" and ask.term is not None:
        return word != ("down to" if ask.term.phrase == "raise" else "up to")
    if ask.form != "accept" or word not in ("of", *_REFERENCES):
        return True
    named = next((piece.text for piece in ask.pieces if piece.kind == "TERM"), "")
    terms = list(terms_called(named))
    if word == "of":
        units = [unit_of(piece.text) for piece in ask.pieces if piece.kind == "UNIT"]
        return any(unit is not None and dict(unit.dimension.exponents).get("weight", 0) < 0 for unit in units)
    return any(term.reference in ("stated", _REFERENCES[word]) for term in terms)


def _lacks_unit(ask: Ask) -> bool:
    """Whether the number just before the place still needs its unit."""
    if ask.last is None or ask.last.kind != "NUMBER":
        return False
    is_told = ask.form in MEASURED and ask.has_kind("UNIT")  # in a range one unit may stand for both ends
    return not is_told and bool(units_at(ask.form, ask.term, ask.key, ask.pieces, ask.section))


def _of_measure(ask: Ask, word: str) -> Iterator[Offer]:
    """A keyword after a value, or before it, where the term takes it."""
    term = ask.term
    if ask.form == "row" and word in _OF_KEYS:
        numbers = sum(piece.kind in NUMBERS for piece in ask.pieces)
        if numbers <= keys_in_row(ask.pieces):
            yield Offer(word, "keyword", "what the row is for", rank=_KEYWORD)
            return
    if term is None or not _takes(ask, word):
        return
    if _lacks_unit(ask) and term.form != "fraction" and word not in ("to", "or"):
        return
    if word == "of":
        yield from _weights("of ")
    elif word == "at" and term.places:
        yield from (Offer(f"at {place}", "word", "where", rank=60) for place in term.places)
    else:
        yield Offer(_WHOLE.get(word, word), "keyword", KEYWORDS.get(word, ""), rank=_rank(ask, term, word))


def _rank(ask: Ask, term: Term, word: str) -> int:
    """Where a keyword stands among others: what is needed first, what orders of this kind seldom have last."""
    if word in ("above ambient", "above PEEP") and term.reference == "stated":
        return 50
    is_seldom = word in _SELDOM or (not ask.is_template and (word in _RANGES or word == "by"))
    return _KEYWORD + (_LATE if is_seldom else 0)


def _takes(ask: Ask, word: str) -> bool:
    """Whether the term takes what a keyword, or a kind of qualifier, begins."""
    term: Term | None = ask.term
    if term is None:
        return False
    if word in _REFERENCES:
        return not ask.has(*_REFERENCES) and term.reference in ("stated", _REFERENCES[word])
    match word:
        case "of":
            return _is_weighed(ask)
        case "at":
            return not ask.has("at") and (takes_qualifier(term, "at") or takes_qualifier(term, "place"))
        case "after":
            return not ask.has("after") and takes_qualifier(term, "after")
        case "manner":
            return takes_qualifier(term, "manner")
        case "allow" | "in steps of":
            return takes_allow(term) and not _is_weighed(ask) and not _is_open(ask)
        case "automatic":
            return takes_automatic(term) and not ask.has("allow")
        case "off":
            return takes_off(term)
        case "by":
            return term.kind != "measured" and term.form in MEASURED
        case "to" | "or" | "up to" | "at least":
            return term.kind != "measured" and not (ask.last is not None and ask.last.kind in ("BASIS", "MANNER"))
    return True


def _is_open(ask: Ask) -> bool:
    """Whether the value must still say above what it is."""
    return ask.term is not None and ask.term.reference == "stated" and not ask.has(*_REFERENCES)

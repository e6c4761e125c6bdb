"""Says in words what the reader stumbled over, and what may have been meant."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from rxlint.expressions.lexicon import Lexicon
from rxlint.expressions.names import WordsType
from rxlint.expressions.problems import Problem, near, nearest
from rxlint.units import DISCOURAGED, UNITS, find_unit
from rxlint.vocabulary.phrases import Chunk, PhraseTrie, Unexpected

_GLUED: Final = re.compile(r"(-?\d+(?:\.\d+)?)([A-Za-z%/].*)", re.ASCII)
_BARE_POINT: Final = re.compile(r"(-?)(\.\d+)", re.ASCII)
_WRONG_ZEROS: Final = re.compile(r"(-?)0+(\d+(?:\.\d+)?)", re.ASCII)
_OPERATOR_FOR_SURE: Final = re.compile(r"^[-/]|[+*^=<>]")
_OPERATOR_PERHAPS: Final = re.compile(r"[-/!]")  # these also stand inside words and units
_SHOWN: Final = 60


def explain(trouble: Unexpected, text: str, lexicon: Lexicon) -> Problem:
    """The problem at the place where nothing that may come next matched."""
    chunks = trouble.source.chunks
    if trouble.at >= len(chunks):
        where = len(text.rstrip())
        after = f" after `{chunks[-1].text[:_SHOWN]}`" if chunks else ""
        what = "a number, a term or a condition is" if "NAME" in trouble.accepts else "something is"
        if chunks and "NAME" not in trouble.accepts:
            what = f"{_listed(trouble)} is"
        return Problem(where, where, f"{what} missing{after}" if chunks else "the expression is empty")
    chunk = chunks[trouble.at]
    return _number_slip(trouble, chunk) or _unit_slip(trouble, chunk) or _word_slip(trouble, text, lexicon)


def _number_slip(trouble: Unexpected, chunk: Chunk) -> Problem | None:
    text = chunk.text
    if "NUMBER" in trouble.accepts:
        if glued := _GLUED.fullmatch(text):
            unit = find_unit(glued[2])
            suggestion = (f"{glued[1]} {unit.symbol}",) if unit else ()
            return _at(chunk, f"`{_cut(text)}` is no number: a unit is parted from its number by a space", suggestion)
        if bare := _BARE_POINT.fullmatch(text):
            return _at(chunk, f"`{_cut(text)}` has no zero before the point", (f"{bare[1]}0{bare[2]}",))
        if zeros := _WRONG_ZEROS.fullmatch(text):
            return _at(chunk, f"`{_cut(text)}` has a needless zero in front", (zeros[1] + zeros[2],))
        return None
    around = trouble.source.chunks[max(trouble.at - 1, 0) : trouble.at + 2]
    if text == "," and len(around) == 3:
        before, _, after = around
        touching = before.end == chunk.start and chunk.end == after.start
        if touching and before.text.isdecimal() and after.text.isdecimal():
            meant = f"{before.text}.{after.text}"
            return Problem(before.start, after.end, "a decimal is written with a point", (meant,))
    return None


def _unit_slip(trouble: Unexpected, chunk: Chunk) -> Problem | None:
    if "UNIT" not in trouble.accepts:
        return None
    refused = DISCOURAGED.get(chunk.text)
    if refused is not None:
        return _at(chunk, f"`{chunk.text}` is not used: {refused[1]}", (refused[0],))
    meant = near(chunk.text, UNITS)
    is_word = chunk.text[:1].isalpha() or chunk.text[:1] == "/"
    if meant and is_word and not near(chunk.text, trouble.keywords):
        return _at(chunk, f"`{_cut(chunk.text)}` is not a unit", meant)
    return None


def _word_slip(trouble: Unexpected, text: str, lexicon: Lexicon) -> Problem:
    chunks = trouble.source.chunks
    chunk = chunks[trouble.at]
    accepts = trouble.accepts
    candidates: list[str] = []
    kind = "what may stand here"
    for terminal, phrases, called in (
        ("NAME", lexicon.classes["NAME"].phrases, "a term that is known here"),
        ("FUNCTION", lexicon.classes["FUNCTION"].phrases, ""),
        ("ITEM", lexicon.items, "an item of a list"),
        ("WORD", _words_before(trouble, lexicon), "a word of this term"),
        ("BASIS", [f"of {basis}" for basis in lexicon.bases], ""),
    ):
        if terminal in accepts:
            candidates.extend(phrases)
            kind = called if called and kind == "what may stand here" else kind
    suggestions, end = _best_window(chunks, trouble.at, [*candidates, *trouble.keywords])
    found = _cut(text[chunk.start : end])
    if _OPERATOR_FOR_SURE.search(chunk.text) or (_OPERATOR_PERHAPS.search(chunk.text) and not suggestions):
        message = f"`{_cut(chunk.text)}` cannot be read here; operators need a space on both sides"
        return _at(chunk, message, _spaced(chunk.text))
    if "NAME" in accepts or "WORD" in accepts or "ITEM" in accepts:
        if chunk.kind == "punct":
            return _at(chunk, f"`{found}` cannot stand here; expected {_wanted(accepts)}")
        return Problem(chunk.start, end, f"`{found}` is not {kind}", suggestions)
    return Problem(chunk.start, end, f"`{found}` cannot stand here; expected {_listed(trouble)}", suggestions)


def _wanted(accepts: frozenset[str]) -> str:
    return "a number, a term or a condition" if "NAME" in accepts else "a word" if "WORD" in accepts else "an item"


def _best_window(chunks: Iterable[Chunk], at: int, candidates: list[str]) -> tuple[tuple[str, ...], int]:
    """Suggestions for the run of words from `at` that comes nearest to a candidate, and where that run ends."""
    words = list(chunks)[at : at + 6]
    run = ""
    best: tuple[tuple[str, ...], int] = ((), words[0].end)
    fewest = len(words) * _SHOWN
    for index, word in enumerate(words):
        if word.kind != "word":
            break
        run = f"{run} {word.text}".strip()
        # A candidate of another number of words would take in, or leave out, a word that is no slip.
        slips, found = nearest(run, [one for one in candidates if abs(one.count(" ") - index) <= 1])
        if found and slips < fewest:
            best, fewest = (found, word.end), slips
    return best


def _words_before(trouble: Unexpected, lexicon: Lexicon) -> list[str]:
    """The words of the last term that stands before the trouble; all words if none has any."""
    names: PhraseTrie = lexicon.classes["NAME"]
    for at in range(trouble.at - 1, -1, -1):
        found = names.longest(trouble.source.chunks, at)
        kind = lexicon.types.get(getattr(found[1], "key", "")) if found is not None else None
        if isinstance(kind, WordsType):
            return sorted(kind.words)
    return list(lexicon.words)


def _listed(trouble: Unexpected) -> str:
    shown = [f"`{word}`" for word in trouble.keywords]
    if "UNIT" in trouble.accepts:
        shown.insert(0, "a unit")
    if "$END" in trouble.accepts:
        shown.append("the end")
    return ", ".join(shown[:-1]) + " or " + shown[-1] if len(shown) > 1 else "".join(shown) or "something else"


def _spaced(text: str) -> tuple[str, ...]:
    spaced = re.sub(r"\s*(<=|>=|!=|[-+*/^=<>])\s*", r" \1 ", text).strip()
    return (spaced,) if spaced != text else ()


def _cut(text: str) -> str:
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"


def _at(chunk: Chunk, message: str, suggestions: tuple[str, ...] = ()) -> Problem:
    return Problem(chunk.start, chunk.end, message, suggestions)

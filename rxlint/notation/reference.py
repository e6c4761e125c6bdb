"""The tables of the notation's reference, made from the vocabulary and the unit table.

`python -m rxlint.notation.reference` says whether `grammar/README.md` is up to date; with `--write` it makes it so.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Final

from rxlint.data import data_folder
from rxlint.notation.takes import states_of, takes
from rxlint.units import ALIASES, DISCOURAGED, PLAIN, UNITS, show
from rxlint.vocabulary import Mode, Term, vocabulary

_BLOCK: Final = re.compile(r"(<!-- made from the vocabulary: ([a-z ]+) -->\n).*?(<!-- end -->)", re.DOTALL)
_FORMS: Final[Mapping[str, str]] = {
    "quantity": "amount",
    "fraction": "share: per cent, or 0 to 1",
    "age": "age",
    "ratio": "ratio",
    "count": "whole number",
    "number": "number without unit",
    "words": "words",
    "list": "list",
    "text": "text",
    "date": "date",
    "signed": "moment and role",
    "identifier": "identifier",
    "link": "identifier and revision",
    "mode": "mode",
    "relation": "relation",
    "cylinder": "contents, or letter",
    "pre-oxygenation": "share and duration",
    "nebuliser": "place and exchanger",
}


def tables() -> Mapping[str, Callable[[], str]]:
    """Every table by the name that its marker has."""
    return {
        "terms": _terms,
        "words": _words,
        "items": _items,
        "modes": _modes,
        "mode codes": _mode_codes,
        "units": _units,
        "discouraged spellings": _discouraged,
    }


def renewed(text: str) -> str:
    """The reference with every table made anew. Raises KeyError for a marker of a table that there is not."""
    made = tables()
    return _BLOCK.sub(lambda match: f"{match.group(1)}\n{made[match.group(2)]()}\n\n{match.group(3)}", text)


def tables_in(text: str) -> tuple[str, ...]:
    """The names of the tables that a text has a place for."""
    return tuple(match.group(2) for match in _BLOCK.finditer(text))


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines)


def _code(words: Iterable[str]) -> str:
    return ", ".join(f"`{word}`" for word in words)


def _terms() -> str:
    parts: list[str] = []
    head = ("term", "value", "unit", "plausible", "usual decimals", "what it says")
    for name, section in vocabulary().sections.items():
        heading = f"#### {name}\n\n{section.help[0].upper()}{section.help[1:]}."
        if name == "back-up":
            parts.append(f"{heading} Its terms are those of `settings`.")
        elif section.terms:
            rows = [_term_row(term) for term in section.terms.values()]
            parts.append(f"{heading}\n\n{_table(head, rows)}")
        else:
            parts.append(f"{heading} Its details are bare lists.")
    return "\n\n".join(parts)


def _term_row(term: Term) -> tuple[str, ...]:
    names = _code((term.phrase, *term.also))
    units = " or ".join(f"`{unit.symbol}`" for unit in term.units)
    if term.per_weight:
        units += ", or per kg"
    decimals = "" if term.decimals is None else str(term.decimals)
    return names, _form(term), units, _plausible(term), decimals, _told(term)


def _form(term: Term) -> str:
    if term.form in ("state", "delay"):
        words = " or ".join(f"`{word}`" for word in states_of(term))
        return f"`after` a delay, or {words}" if term.form == "delay" else words
    return _FORMS.get(term.form, "sentence")


def _plausible(term: Term) -> str:
    if term.plausible is None:
        return ""
    unit = term.unit or PLAIN
    low, high = (show(bound, unit) for bound in term.plausible)
    return f"{low.removesuffix(f' {unit.symbol}')} to {high}"


def _told(term: Term) -> str:
    additions = [
        part for part in takes(term).split(", ") if part not in ("allow", "in steps of", "the end of the line")
    ]
    if term.form not in ("quantity", "fraction", "age", "number", "ratio") or not additions:
        return term.help
    return "; ".join(part for part in (term.help, f"takes {', '.join(additions)}") if part)


def _words() -> str:
    rows = [
        (f"`{term.phrase}`", slot.name, _code(slot.words))
        for section in vocabulary().sections.values()
        if section.name != "back-up"
        for term in section.terms.values()
        for slot in term.slots
    ]
    return _table(("term", "slot", "words"), rows)


def _items() -> str:
    rows = []
    for items in vocabulary().items.values():
        also = [f"`{spelling}` for `{item}`" for spelling, item in items.trie.phrases.items() if spelling != item]
        amounts = _code(unit.symbol for unit in items.units) or "none"
        rows.append((items.name, _code(items.members), amounts, ", ".join(also)))
    return _table(("list", "items", "amounts in", "also read"), rows)


def _modes() -> str:
    groups: dict[tuple[object, ...], list[Mode]] = {}
    for mode in vocabulary().modes.values():
        if mode.checked:
            groups.setdefault((mode.needs, mode.may), []).append(mode)
    rows = []
    for modes in groups.values():
        needs = "; ".join(" or ".join(f"`{each}`" for each in choice) for choice in modes[0].needs)
        rows.append((_code(mode.code for mode in modes), needs, _code(sorted(modes[0].may))))
    return _table(("mode", "needs", "may have"), rows)


def _mode_codes() -> str:
    words = vocabulary()
    spellings: dict[str, list[str]] = {}
    for spelling, code in words.tries["MODE"].phrases.items():
        if spelling != code:
            spellings.setdefault(code, []).append(spelling)
    rows = [
        (f"`{mode.code}`", mode.help, _code(spellings.get(mode.code, ())), "" if mode.checked else "read, not checked")
        for mode in words.modes.values()
    ]
    return _table(("code", "in words", "also read", ""), rows)


def _units() -> str:
    by_dimension: dict[str, list[str]] = {}
    for unit in UNITS.values():
        by_dimension.setdefault(unit.dimension.describe(), []).append(unit.symbol)
    also: dict[str, list[str]] = {}
    for spelling, symbol in ALIASES.items():
        also.setdefault(symbol, []).append(spelling)
    rows = [
        (name, _code(symbols), ", ".join(f"`{each}`" for symbol in symbols for each in also.get(symbol, ())))
        for name, symbols in by_dimension.items()
    ]
    return _table(("measures", "units, the preferred one first", "also read"), rows)


def _discouraged() -> str:
    return _table(
        ("written", "write", "why"),
        [(f"`{spelling}`", f"`{standard}`", why) for spelling, (standard, why) in DISCOURAGED.items()],
    )


def main(arguments: Sequence[str]) -> int:
    """Brings the reference up to date (`--write`), or says that it is not (exit code 1)."""
    path = data_folder("grammar") / "README.md"
    text = path.read_text(encoding="utf-8")
    fresh = renewed(text)
    if fresh == text:
        return 0
    if "--write" in arguments:
        path.write_text(fresh, encoding="utf-8")
        return 0
    print(f"{path} is out of date: run python -m rxlint.notation.reference --write", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

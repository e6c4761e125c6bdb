"""A highlighting grammar for editors that colour by regular expressions (TextMate's JSON form), made of the vocabulary.

It knows what stands where by sections and words, not by meaning: the language server's tokens are exact, and an editor
that asks for them lays them over these. ``python -m rxlint.editor.highlight FILE --write`` brings a file up to date.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, Final

from rxlint.notation.grammar import line_grammar
from rxlint.units import ALIASES, UNITS
from rxlint.vocabulary import vocabulary

_NUMBER: Final = r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?"
_END: Final = r"(?=$|[\s,)])"
_START: Final = r"(?<=^|[\s,(])"
_DOCUMENTS: Final = ("prescription", "template")


def grammar() -> dict[str, Any]:
    """The highlighting grammar: comments and texts first, then headings at the margin, then what lines are made of."""
    words = vocabulary()
    headings = (name for name in words.tries["SECTION"].phrases if name not in _DOCUMENTS)
    return {
        "name": "rxlint prescription",
        "scopeName": "source.vrx",
        "fileTypes": ["vrx"],
        "patterns": [
            {"include": "#comment"},
            {"include": "#text"},
            {"include": "#document"},
            {"include": "#heading"},
            {"include": "#term"},
            {"include": "#date"},
            {"include": "#rule"},
            {"include": "#number"},
            {"include": "#keyword"},
        ],
        "repository": {
            "comment": {"match": r"(?:^|(?<=[ \t]))#.*$", "name": "comment.line.number-sign.vrx"},
            "text": {
                "begin": '"',
                "end": r'"|$',
                "name": "string.quoted.double.vrx",
                "patterns": [{"match": r"\\.", "name": "constant.character.escape.vrx"}],
            },
            "document": {"match": rf"^{_either(_DOCUMENTS)}{_END}", "name": "keyword.control.document.vrx"},
            "heading": {
                "match": rf"^{_either((*headings, 'back-up', 'readings', 'readings for', 'checked'))}{_END}",
                "name": "entity.name.section.vrx",
            },
            "term": {"match": rf"^[ \t]+({_either(_phrases())}){_END}", "captures": {"1": _name("variable.other")}},
            "date": {
                "match": rf"{_START}[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}{_END}|{_START}[0-9]{{2}}:[0-9]{{2}}{_END}",
                "name": "constant.other.date.vrx",
            },
            "rule": {"match": rf"(?<=accept )[a-z][a-z0-9-]*\.[a-z0-9-]+{_END}", "name": "entity.name.function.vrx"},
            "number": {
                "match": rf"{_START}({_NUMBER}(?::{_NUMBER})?)(?:[ \t]+({_exactly(_units())}))?{_END}",
                "captures": {"1": _name("constant.numeric"), "2": _name("keyword.other.unit")},
            },
            "keyword": {"match": rf"{_START}{_either(_keywords())}{_END}", "name": "keyword.operator.word.vrx"},
        },
    }


def text() -> str:
    """The grammar as the text of its file."""
    return json.dumps(grammar(), indent=2, ensure_ascii=False) + "\n"


def _name(scope: str) -> dict[str, str]:
    return {"name": f"{scope}.vrx"}


def _either(spellings: Iterable[str]) -> str:
    """Alternatives of which the longest matches first, any white space between their words, capitals or none."""
    once = sorted({each.casefold() for each in spellings}, key=lambda each: (-len(each), each))
    return "(?i:" + "|".join(r"[ \t]+".join(re.escape(word) for word in each.split()) for each in once) + ")"


def _exactly(spellings: Iterable[str]) -> str:
    """Alternatives as they are spelt: in a unit, case is meaning."""
    return "|".join(re.escape(each) for each in sorted(set(spellings), key=lambda each: (-len(each), each)))


def _phrases() -> Iterable[str]:
    return (phrase for section in vocabulary().sections.values() for phrase in section.trie.phrases)


def _units() -> Iterable[str]:
    words = vocabulary()
    return {*UNITS, *ALIASES, *words.tries["UNIT"].phrases} - {""}


def _keywords() -> Iterable[str]:
    lexer: Any = line_grammar().parser.lexer
    return (word for word in lexer.keywords.values() if word.replace(" ", "").replace("-", "").isalpha())


def main(arguments: Sequence[str]) -> int:
    """Brings the named files up to date (``--write``), or says which are not (exit code 1)."""
    stale = 0
    fresh = text()
    for path in (Path(each) for each in arguments if each != "--write"):
        if path.is_file() and path.read_text("utf-8") == fresh:
            continue
        if "--write" in arguments:
            path.write_text(fresh, encoding="utf-8")
        else:
            stale = 1
            print(f"{path} is out of date: run python -m rxlint.editor.highlight {path} --write", file=sys.stderr)
    return stale


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

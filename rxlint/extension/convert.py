"""A Python pack as a pack: the same rules, cases and references as those of YAML, with a function in place of words."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from rxlint.expressions.problems import near
from rxlint.extension.api import PythonPack, PythonRule, UnknownNameError
from rxlint.model.names import base_names
from rxlint.packs.pack import Case, Message, Pack, Rule, Spot
from rxlint.text.files import read_up_to
from rxlint.vocabulary import vocabulary

_LARGEST_SOURCE = 1_000_000


def pack_of(given: PythonPack, path: str) -> Pack:
    """The pack; ``path`` says where it comes from. Raises UnknownNameError where a rule names no term under ``at``."""
    for rule in given.rules:
        check_places(rule.at)
    rules = tuple(_rule(rule, given.name) for rule in given.rules)
    return Pack(given.name, given.revision, given.summary, path, _digest(given, path), rules, {}, base_names())


def check_places(at: tuple[str, ...]) -> None:
    """Refuse what no line could stand for: neither a term nor ``section NAME``. Raises UnknownNameError."""
    words = vocabulary()
    sections = [f"section {name}" for name in words.sections]
    for each in at:
        if each not in base_names().types and each not in sections and each not in words.terms:
            raise UnknownNameError(f"there is no term {each}{_hint(each, [*base_names().types, *sections])}")


def _hint(name: str, known: list[str]) -> str:
    close = near(name, known)
    return f"; did you mean {' or '.join(close)}?" if close else ""


def _rule(rule: PythonRule, pack: str) -> Rule:
    spot = Spot(_line(rule.check), 1)
    return Rule(
        id=rule.id,
        level=rule.level,
        basis=rule.basis,
        title=rule.title.strip(),
        say=Message(()),
        because=" ".join(rule.because.split()),
        source=" ".join(rule.source.split()),
        pack=pack,
        spot=spot,
        as_set_only=True,
        at=rule.at,
        yields_to=rule.yields_to,
        cases=tuple(Case(case.kind, case.text, case.whole, spot) for case in rule.cases),
        python=rule,
        code=f"{getattr(rule.check, '__module__', '?')}.{getattr(rule.check, '__qualname__', '?')}",
    )


def _line(check: Callable[..., Any]) -> int:
    """Where the function stands in its file; 1 where it does not say."""
    code = getattr(check, "__code__", None)
    return int(getattr(code, "co_firstlineno", 1))


def _digest(given: PythonPack, path: str) -> str:
    """A digest that changes with what the pack says, with the distribution's version and with the rules' own files."""
    digest = hashlib.sha256(f"{path}\n{given.name}\n{given.revision}\n{given.summary}".encode())
    files: set[str] = set()
    for rule in given.rules:
        told = (rule.id, rule.level, rule.basis, rule.title, rule.because, rule.source, *map(repr, rule.cases))
        digest.update("\n".join(told).encode("utf-8", "replace"))
        files.add(str(getattr(getattr(rule.check, "__code__", None), "co_filename", "")))
    for file in sorted(files):
        digest.update(_contents(file))
    return digest.hexdigest()[:32]


def _contents(file: str) -> bytes:
    try:
        read = read_up_to(Path(file), _LARGEST_SOURCE)
    except (OSError, ValueError):
        return b""
    return read[0] if read is not None else b""

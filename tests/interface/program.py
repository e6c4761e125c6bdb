"""A user's program: what it says of types is checked by mypy, here and as a user would check it.

Each remark `type: ignore` stands at a mistake that a checker must see: mypy tells one that is needed no more.
"""

import datetime
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import assert_type

import rxlint
from rxlint import Finding, Level, Screened


def main(path: Path) -> list[str]:
    day = datetime.date(2026, 11, 24)
    screened = rxlint.screen_text(path.read_text("utf-8"), on=day, path=path, rules=rxlint.Rules(settings="none"))
    assert_type(screened, Screened)
    assert_type(screened.findings, tuple[Finding, ...])
    levels: set[Level] = {each.level for each in screened.findings}
    assert levels <= {"reject", "query", "note"}
    return [f"line {each.place.line}: {each.message}" for each in screened.findings]


def types(text: str, folder: Path) -> None:
    assert_type(rxlint.screen_paths([folder, "x"]), Iterator[Screened])
    assert_type(rxlint.parse(text).statements[0].place.line, int)
    assert_type(rxlint.derive(text).values[0].low, Fraction)
    assert_type(rxlint.compare(text, text.encode()).changes, tuple[rxlint.Change, ...])
    assert_type(rxlint.compare_paths("a", folder), Iterator[rxlint.Compared])
    assert_type(rxlint.rule_packs()[0].rules[0].basis != "practice", bool)


def mistakes(text: str, screened: Screened) -> None:
    rxlint.screen_text(text, on="2026-11-24")  # type: ignore[arg-type]
    rxlint.screen_text(text, datetime.date(2026, 11, 24))  # type: ignore[call-arg]
    rxlint.Rules(settings="near")  # type: ignore[arg-type]
    rxlint.parse(Path("x"))  # type: ignore[arg-type]
    screened.fails("error")  # type: ignore[arg-type]
    screened.findings = ()  # type: ignore[misc]
    rxlint.screen_txt(text)  # type: ignore[attr-defined]

"""Files that lie beside one another, and what the program says of them as it would of a folder on a disk.

Some slips don't show in one document: an order changed and not dated anew, readings of another order, a template
withdrawn, a ventilator that can't be set so, a settings file that can't be read. `beside` makes such slips.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Final

from rxlint.library.beside import Sheet, screen_beside
from rxlint.library.comparing import Pair, Version, compare_pairs
from rxlint.library.discover import find_inputs
from rxlint.library.rulings import Ruling, Rulings
from rxlint.library.screen import Screened, screen_bytes, screen_inputs
from rxlint.screening.engine import Crash
from rxlint.screening.finding import Finding
from rxlint.screening.ruleset import builtin_rules
from tests.slips.harness import DAY

PROBLEM: Final = "a problem"
"""Stands for a file that keeps others from being screened, which no rule tells: it is no finding."""
SETTINGS: Final = "rxlint.yaml"


@dataclass(frozen=True)
class Scene:
    """Files by their path in one folder. With ``before``, the change of ``order`` from that text is judged, and the
    order by itself; with ``readings``, the order together with these files; else all of the folder.
    """

    files: Mapping[str, str]
    order: str = ""
    before: str = ""
    readings: tuple[str, ...] = ()

    def with_text(self, name: str, text: str) -> Scene:
        return replace(self, files={**self.files, name: text})

    def without(self, name: str) -> Scene:
        return replace(self, files={other: text for other, text in self.files.items() if other != name})


@dataclass(frozen=True)
class SceneSlip:
    """One slip in a scene: what was done, and the rules that may be the ones that see it; or `PROBLEM`."""

    scene: Scene
    told: str
    fitting: tuple[str, ...]


@dataclass(frozen=True)
class Heard:
    """What was said of a scene: rules at `query` or above, those that only note something, and whether a file kept
    others from being screened.
    """

    rules: frozenset[str]
    noted: frozenset[str]
    problems: tuple[str, ...]

    @property
    def everything(self) -> frozenset[str]:
        return self.rules | self.noted | (frozenset([PROBLEM]) if self.problems else frozenset())


def heard(scene: Scene) -> Heard:
    """Screen or compare a scene. Raises RuntimeError where a rule fails."""
    if scene.before:
        return _changed(scene)
    if scene.readings:
        sheets = [Sheet(name, scene.files[name].encode("utf-8")) for name in scene.readings]
        order = scene.files[scene.order].encode("utf-8")
        return _heard(screen_beside(Ruling(builtin_rules()), scene.order, order, sheets, DAY))
    with tempfile.TemporaryDirectory() as folder:
        for name, text in scene.files.items():
            path = Path(folder, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, "utf-8")
        return _heard(screen_inputs(find_inputs([folder]), _rulings().anew(), DAY))


@cache
def _rulings() -> Rulings:
    """What is prepared of files with the same content is shared by all scenes."""
    return Rulings()


def _changed(scene: Scene) -> Heard:
    old, new = (
        Version(which, "", text.encode("utf-8"))
        for which, text in (("old", scene.before), ("new", scene.files[scene.order]))
    )
    (compared,) = compare_pairs([Pair(old, new)], _rulings().anew(nearest=False), DAY)
    found = compared.comparison
    problems = tuple(f"{shown}: {each.message}" for shown, each in compared.problems)
    if found is None:
        return Heard(frozenset(), frozenset(), problems)
    alone = screen_bytes("new", scene.files[scene.order].encode("utf-8"), builtin_rules(), DAY).screening
    assert alone is not None, "what can be compared can be screened"
    findings = (*found.screening.findings, *alone.findings)
    return _sorted(findings, (*found.screening.crashes, *alone.crashes), problems)


def _heard(results: Iterable[Screened]) -> Heard:
    findings: list[Finding] = []
    crashes: list[Crash] = []
    problems: list[str] = []
    for each in results:
        problems += [f"{each.shown}: {problem.message}" for problem in each.problems]
        if each.screening is not None:
            findings += each.screening.findings
            crashes += each.screening.crashes
    return _sorted(findings, crashes, tuple(problems))


def _sorted(findings: Iterable[Finding], crashes: Iterable[Crash], problems: tuple[str, ...]) -> Heard:
    failed = [each.told for each in crashes]
    if failed:
        raise RuntimeError("; ".join(failed))
    counted = [each for each in findings if each.counts]
    rules = frozenset(each.rule for each in counted if each.level != "note")
    return Heard(rules, frozenset(each.rule for each in counted) - rules, problems)


def fitting(slip: SceneSlip, said: Heard) -> frozenset[str]:
    """What was said that fits the slip: rules, or an area with its dot."""
    return frozenset(
        rule
        for rule in said.everything
        if any(rule == each or (each.endswith(".") and rule.startswith(each)) for each in slip.fitting)
    )


def each_line(text: str, *beginnings: str) -> Iterator[tuple[int, str]]:
    """The lines, counted from 0, that begin with one of these after their indent."""
    for at, line in enumerate(text.split("\n")):
        if line.strip().startswith(beginnings):
            yield at, line


def with_line(text: str, at: int, *new: str) -> str:
    """The text with other lines in place of one."""
    lines = text.split("\n")
    return "\n".join([*lines[:at], *new, *lines[at + 1 :]])

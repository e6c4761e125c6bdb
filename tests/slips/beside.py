"""The study of slips that show beside another file: every kind, what is heard of each slip, and the page of it.

`python -m tests.slips --beside` runs it and renews BESIDE.md and beside.csv.
"""

from __future__ import annotations

import csv
import hashlib
import io
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.slips import beside_changes as changes
from tests.slips import beside_library as library
from tests.slips import beside_readings as readings
from tests.slips.scene import Scene, SceneSlip, fitting, heard

HERE: Final = Path(__file__).resolve().parent
RESULTS: Final = HERE / "beside.csv"
PAGE: Final = HERE / "BESIDE.md"
COMMAND: Final = "python -m tests.slips --beside"


@dataclass(frozen=True)
class BesideKind:
    """A kind of slip that shows beside another file."""

    name: str
    make: Callable[[], Iterable[SceneSlip]]


KINDS: Final = (
    BesideKind("revised: PEEP or EPAP moved, the rest copied", changes.baseline_moved),
    BesideKind("revised: a pressure or volume of another patient", changes.long_step),
    BesideKind("revised: reference or weight basis changed, the number kept", changes.reference_changed),
    BesideKind("revised: an alarm not copied", changes.alarm_gone),
    BesideKind("revised: another limb or interface", changes.circuit_of_another),
    BesideKind("revised: sex or height of another patient", changes.patient_of_another),
    BesideKind("revised: a line of the head or the check left", changes.head_left),
    BesideKind("readings: of another order or revision", readings.of_another_order),
    BesideKind("readings: first line lost", readings.first_line_bare),
    BesideKind("readings: screened without their order", readings.alone),
    BesideKind("readings: a setting among them", readings.setting_among_readings),
    BesideKind("readings: an hour copied, or wrong", readings.hour_wrong),
    BesideKind("readings: a number of the last set by a half or a third wrong", readings.set_misread),
    BesideKind("library: template withdrawn, or of another revision", library.template_withdrawn),
    BesideKind("library: template gone, or its id misspelt", library.template_gone),
    BesideKind("library: a file copied and left", library.file_copied),
    BesideKind("library: what is followed is lost", library.follows_lost),
    BesideKind("library: a line of the template changed", library.template_narrowed),
    BesideKind("ventilator: its name misspelt, or of another", library.ventilator_of_another),
    BesideKind("ventilator: a line of its profile lost", library.line_of_the_profile_lost),
    BesideKind("settings: a file spoilt", library.settings_spoilt),
)


@dataclass(frozen=True)
class Row:
    """What came of one slip: the rules that fit it, and all others that spoke at `query` or above."""

    kind: str
    told: str
    fitting: tuple[str, ...]
    others: tuple[str, ...]


def sound_scenes() -> Iterator[Scene]:
    """The scenes as they are before a slip is made."""
    yield from changes.sound_scenes()
    yield from readings.sound_scenes()
    yield from library.libraries()
    yield from library.ventilators()


def slips() -> Iterator[tuple[BesideKind, SceneSlip]]:
    """Every slip of every kind, in the order of the table."""
    for kind in KINDS:
        for slip in kind.make():
            yield kind, slip


def row_of(kind: BesideKind, slip: SceneSlip) -> Row:
    """Screen one slip."""
    said = heard(slip.scene)
    fits = fitting(slip, said)
    return Row(kind.name, slip.told, tuple(sorted(fits)), tuple(sorted(said.rules - fits)))


def digest() -> str:
    """Changes with any scene, and with any slip made in it."""
    total = hashlib.sha256()
    for kind, slip in slips():
        files = sorted(slip.scene.files.items())
        total.update(f"{kind.name}\n{files}\n{slip.scene.before}\n{slip.fitting}\n".encode())
    return total.hexdigest()[:16]


# ---- what is stored
def stored(rows: Iterable[Row], made_from: str) -> str:
    """The text of the results' file: a row for each slip."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("kind", f"slip ({made_from})", "told by", "and by"))
    writer.writerows((each.kind, each.told, " ".join(each.fitting), " ".join(each.others)) for each in rows)
    return out.getvalue()


def read_rows() -> tuple[str, tuple[Row, ...]]:
    """What the slips were made from, and what came of each."""
    head, *rows = csv.reader(io.StringIO(RESULTS.read_text("utf-8")))
    made_from = head[1].removeprefix("slip (").removesuffix(")")
    return made_from, tuple(_row(*row) for row in rows)


def _row(kind: str, told: str, fits: str, others: str) -> Row:
    return Row(kind, told, _words(fits), _words(others))


def _words(text: str) -> tuple[str, ...]:
    """The rules of a cell; "a problem" is two words."""
    return tuple(each.replace("~", " ") for each in text.replace("a problem", "a~problem").split())


_HEAD: Final = f"""\
# Slips that show beside another file

Some slips can't show in the order alone: a new revision that is not dated anew, readings of another order, a template
that was withdrawn, a ventilator that can't be set so, settings that can't be read. Each slip is made in a sound scene
of a few files - examples of this project, changed in one place - and the scene is screened or compared as a folder on
a disk is. A slip is told where a rule that fits it speaks, be it as a note; `a problem` is a file that keeps orders
from being screened, which the report names. Made by `{COMMAND}`. Slips and rules were written by the same people: this
shows that each rule is reached by a slip, not how many slips of a ward are found.

| kind of slip | slips | told | by |
| --- | ---: | ---: | --- |
"""


def page(rows: Iterable[Row]) -> str:
    """The page of the study, with every slip that nothing tells."""
    told = list(rows)
    lines = [_line(kind.name, [each for each in told if each.kind == kind.name]) for kind in KINDS]
    missed = [f"- {each.kind}: `{each.told}`{_beside(each)}" for each in told if not each.fitting]
    return _HEAD + "\n".join([*lines, "", "## What nothing tells", "", *(missed or ["Nothing of these."])]) + "\n"


def _line(name: str, rows: list[Row]) -> str:
    rules = dict.fromkeys(rule for each in rows for rule in each.fitting)
    by = ", ".join(f"`{rule}`" for rule in sorted(rules))
    return f"| {name} | {len(rows)} | {sum(bool(each.fitting) for each in rows)} | {by} |"


def _beside(row: Row) -> str:
    return f" (told otherwise: {', '.join(row.others)})" if row.others else ""


def study() -> list[Row]:
    """Screen every slip."""
    return [row_of(kind, slip) for kind, slip in slips()]

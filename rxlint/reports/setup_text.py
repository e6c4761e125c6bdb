"""A set-up list as text for the person at the ventilator: what to key in, in its order, and what to ask before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rxlint.library.setup_list import SetUpList
from rxlint.model.stated import Stated
from rxlint.reports.caution import CAUTION
from rxlint.reports.style import Style
from rxlint.screening.setup import STOPS, Line, SetUp
from rxlint.screening.setup_checks import checks_of
from rxlint.text import printable

NOT_TO_BE_KEYED_IN = "NOT TO BE KEYED IN"


def report(found: SetUpList, style: Style) -> Iterator[str]:
    """The whole report, line by line."""
    yield style.mark(printable(heading(found)), "strong")
    if found.stops:
        yield style.mark(f"{NOT_TO_BE_KEYED_IN} as it stands: {'; '.join(map(printable, found.stops))}", "reject")
    for finding in found.rejects:
        yield f"    line {finding.place.line}: {printable(finding.message)} [{finding.rule}]"
    for sheet in found.sheets:
        yield ""
        yield from _sheet(sheet, style)
    yield ""
    yield CAUTION


def heading(found: SetUpList) -> str:
    """What the list is of, and for which ventilator."""
    title = found.document.title or found.screened.shown
    name = f"{title} ({found.screened.id})" if found.screened.id else title
    return f"Set-up list: {name} on the ventilator {found.profile.name}, profile revision {found.profile.revision}"


def scope_told(sheet: SetUp) -> str:
    """For which part of the day, band and mode a sheet holds."""
    facts = sheet.facts
    parts = [f"period {facts.period}" if facts.period else "all day"]
    parts += [facts.band.label] if facts.band is not None else []
    parts += [facts.mode.code] if facts.mode is not None else []
    return ", ".join(parts)


def prescribed_line(stated: Stated) -> int:
    """The number of the line that states something."""
    return stated.entry.lines[0].number


def _sheet(sheet: SetUp, style: Style) -> Iterator[str]:
    yield style.mark(printable(scope_told(sheet)), "strong")
    yield "  Key in, in this order:"
    width = min(max(len(line.name) for line in sheet.lines), 28)
    keyed = min(max([len(line.keyed) for line in sheet.lines] + [12]), 30)
    for number, line in enumerate(sheet.lines, 1):
        yield from _line(number, line, width, keyed, style)
    yield from _part("Ask the prescriber, who leaves this open:", sheet.asks)
    lacking = [f"{key.removeprefix('alarm ')}{' alarm' if key.startswith('alarm ') else ''}, prescribed in line "
               f"{prescribed_line(stated)}" for key, stated in sheet.lacking]  # fmt: skip
    yield from _part("This ventilator can't do:", lacking)
    yield from _part("To be set elsewhere:", [f"{what}: {value}" for what, value in sheet.beside])
    yield from _part("Check before and once it runs:", checks_of(sheet))


def _part(head: str, told: Iterable[str]) -> Iterator[str]:
    lines = [f"    - {printable(each)}" for each in told]
    if lines:
        yield f"  {head}"
        yield from lines


def _line(number: int, line: Line, width: int, keyed: int, style: Style) -> Iterator[str]:
    stop = line.state in STOPS
    what = style.mark("CAN'T BE SET".ljust(keyed), "reject") if stop else printable(line.keyed).ljust(keyed)
    where = f" (line {prescribed_line(line.stated)})" if line.stated is not None else ""
    term = (line.stated.key if line.stated is not None else line.key).removeprefix("alarm ")
    alarm = " alarm" if line.key.startswith("alarm ") else ""
    why = f"as prescribed: {term}{alarm}" if line.same else f"for {term}{alarm} {printable(line.prescribed)}"
    yield f"   {number:>2}. {printable(line.name).ljust(width)}  {what}  {why}{where}"
    for each in notes_of(line):
        yield f"       {printable(each)}"


def notes_of(line: Line) -> Iterator[str]:
    """What is to be known of a line beside what is keyed in, a sentence each."""
    if line.why:
        yield line.why
    if line.choices and line.state in STOPS:
        yield f"choose {' or '.join(line.choices)}: ask the prescriber"
    if line.follows:
        yield f"key it in anew when {' or '.join(line.follows)} is moved"
    if line.moves:
        yield f"staff may move it from {line.moves}" if not line.follows else f"it then lies from {line.moves}"

"""The pictures of a sheet, by the section that shows them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from rxlint.model.facts import Facts
from rxlint.packs import Defined
from rxlint.reports.sheet.alarms import alarm_picture
from rxlint.reports.sheet.circuit import circuit_picture
from rxlint.reports.sheet.content_parts import Part, by_scope
from rxlint.reports.sheet.oxygen import oxygen_picture
from rxlint.reports.sheet.picture import NotDrawn, Picture
from rxlint.reports.sheet.rows import PictureGroup, Pictures
from rxlint.reports.sheet.waves import breath_pictures

# Rows of tables of which each is drawn; what the others hold stands in the tables of the sheet.
_MOST_ROWS: Final = 3

Drawn = tuple[Picture | NotDrawn, ...]


@dataclass(frozen=True, slots=True)
class _Artist:
    """Draws the pictures of one part; every drawing of a page has a name of its own."""

    facts: Facts
    defined: Mapping[str, Defined]
    name: str

    def breaths(self) -> Drawn:
        return breath_pictures(self.facts, f"waves-{self.name}")

    def alarms(self) -> Drawn:
        return (alarm_picture(self.facts, self.defined, f"alarms-{self.name}"),)

    def circuit(self) -> Drawn:
        return (circuit_picture(self.facts, f"circuit-{self.name}"),)

    def oxygen(self) -> Drawn:
        return (oxygen_picture(self.facts, self.defined, f"oxygen-{self.name}"),)


def pictures_of(parts: Sequence[Part], defined: Mapping[str, Defined]) -> Pictures:
    """Every picture that the parts of a document allow; where one can't be drawn, why."""
    breaths: list[PictureGroup] = []
    alarms: list[PictureGroup] = []
    circuits: list[PictureGroup] = []
    supplies: list[PictureGroup] = []
    for number, (scope, group) in enumerate(by_scope(part for part in parts if part.is_ordered).items(), 1):
        held = [part for part in group if part.facts.band is None or not part.facts.band.is_elsewhere] or group
        for row, part in enumerate(held[:_MOST_ROWS], 1):
            name = f"{scope}, {part.row}" if part.row else scope
            read = _with_readings(part, parts)
            told = name if read is part else f"{name}, with {read.key[1]}"
            breaths.append(
                PictureGroup(name, _drawn("breaths", _Artist(part.facts, defined, f"{number}-{row}").breaths))
            )
            alarms.append(PictureGroup(told, _drawn("alarms", _Artist(read.facts, defined, f"{number}-{row}").alarms)))
        if len(held) > _MOST_ROWS:
            more = f"{len(held) - _MOST_ROWS} more rows of the tables are not drawn; the tables of this sheet hold them"
            for groups in (breaths, alarms):
                groups.append(PictureGroup(scope, (NotDrawn("Other rows of the tables", (more,)),)))
        artist = _Artist(held[0].facts, defined, str(number))
        circuits.append(PictureGroup(scope, _drawn("circuit", artist.circuit)))
        supplies.append(PictureGroup(scope, _drawn("oxygen", artist.oxygen)))
    return Pictures(tuple(breaths), tuple(alarms), tuple(circuits), tuple(supplies))


def _with_readings(part: Part, parts: Sequence[Part]) -> Part:
    """The same part with what was read last, where anything was."""
    own = (part.facts.period, part.row)
    read = [each for each in parts if not each.is_ordered and (each.facts.period, each.row) == own]
    return read[-1] if read else part


def _drawn(what: str, draw: Callable[[], Drawn]) -> Drawn:
    """Some pictures; a fault of ours in one of them must keep the sheet from nothing, and be told."""
    try:
        return draw()
    except ImportError:
        raise
    except Exception as error:
        why = f"could not be drawn, through a fault of this program: {type(error).__name__}: {error}"
        return (NotDrawn(f"Picture of the {what}", (why,)),)

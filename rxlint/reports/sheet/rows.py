"""What a sheet shows, as immutable rows of text. Nothing here is escaped, and nothing is worked out after it."""

from __future__ import annotations

from dataclasses import dataclass

from rxlint.packs import Level
from rxlint.reports.sheet.picture import NotDrawn, Picture

# ---- the first part: what the order says, and room for the checker. No field of these holds an answer.


@dataclass(frozen=True, slots=True)
class Fact:
    """A line of the order: its term, what stands after it as written, its number, and the rows below it."""

    term: str
    value: str
    line: int
    rows: tuple[tuple[str, str], ...] = ()
    readable: bool = True


@dataclass(frozen=True, slots=True)
class FactSection:
    """A section of the order: its heading as written, and its lines; ``is_reading`` where they were measured."""

    heading: str
    line: int
    facts: tuple[Fact, ...]
    is_reading: bool = False


@dataclass(frozen=True, slots=True)
class Blank:
    """Room for a sum of the checker's own: what is asked, the unit to write it in, and a word on how."""

    number: int
    what: str
    unit: str
    how: str
    is_range: bool = False


@dataclass(frozen=True, slots=True)
class BlankGroup:
    """The sums of one part of the day."""

    scope: str
    blanks: tuple[Blank, ...]


@dataclass(frozen=True, slots=True)
class TickList:
    """Things to tick at the bedside; ``ordered`` where they must stand one after another."""

    heading: str
    items: tuple[str, ...]
    ordered: bool = False


@dataclass(frozen=True, slots=True)
class OwnCheck:
    """The first part of a sheet."""

    identity: tuple[tuple[str, str], ...]
    sections: tuple[FactSection, ...]
    sums: tuple[BlankGroup, ...]
    ticks: tuple[TickList, ...]
    unread: tuple[tuple[int, str], ...] = ()
    has_acceptances: bool = False
    for_patient: bool = False
    why: str = ""  # why there is nothing to check


# ---- the second part


@dataclass(frozen=True, slots=True)
class Origin:
    """What decided something, and where it stands."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class FoundLine:
    """A line of the order that a finding speaks of."""

    line: int
    text: str
    file: str | None = None


@dataclass(frozen=True, slots=True)
class FindingRow:
    """A finding as it is told. ``name`` is what marks beside the order's lines call it by."""

    name: str
    level: Level
    rule: str
    message: str
    written: FoundLine
    related: tuple[FoundLine, ...]
    calculation: tuple[str, ...]
    correction_label: str
    corrections: tuple[str, ...]
    sound: tuple[str, ...]
    scope: str
    because: str
    source: str
    origins: tuple[Origin, ...]
    also: tuple[str, ...]
    accepted: str = ""


@dataclass(frozen=True, slots=True)
class Findings:
    """The findings that count, the strictest first, and those that somebody answers for or that were known before."""

    counting: tuple[FindingRow, ...] = ()
    accepted: tuple[FindingRow, ...] = ()
    known: tuple[FindingRow, ...] = ()
    failed: tuple[str, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """That a finding speaks of a line; ``is_place`` where it stands there, else the line is related."""

    name: str
    level: Level
    is_place: bool
    counts: bool


@dataclass(frozen=True, slots=True)
class TextLine:
    """A line of the file as it stands."""

    number: int
    text: str
    marks: tuple[Mark, ...]

    @property
    def rest(self) -> str:
        """The text without the white space before it."""
        return self.text.lstrip(" \t")

    @property
    def indent(self) -> str:
        """The white space before the text."""
        return self.text[: len(self.text) - len(self.rest)]


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A limit that a rule or a site's policy sets to a value as it is set."""

    text: str
    rule: str
    policy: str = ""


@dataclass(frozen=True, slots=True)
class SettingRow:
    """A line that sets something, beside what is allowed."""

    term: str
    line: int
    value: str
    moves: str = ""
    template: str = ""
    policy: tuple[LimitRow, ...] = ()
    narrowest: tuple[LimitRow, ...] = ()


@dataclass(frozen=True, slots=True)
class SettingTable:
    """The settings of one part of the day."""

    scope: str
    rows: tuple[SettingRow, ...]


@dataclass(frozen=True, slots=True)
class ValueRow:
    """A value that follows from the order. ``number`` is that of the checker's own sum, where there was one."""

    what: str
    value: str
    formula: str
    source: str
    number: int | None = None


@dataclass(frozen=True, slots=True)
class ValueGroup:
    """The values of one part of the day."""

    scope: str
    rows: tuple[ValueRow, ...]


@dataclass(frozen=True, slots=True)
class NotChecked:
    """Checks that could not be made, for one reason."""

    why: str
    rules: tuple[tuple[str, str], ...]  # title and id


@dataclass(frozen=True, slots=True)
class CoverageRows:
    """What became of the checks."""

    counts: tuple[tuple[str, int], ...]
    groups: tuple[NotChecked, ...]

    @property
    def unmade(self) -> int:
        """How many checks could not be made, or not be decided."""
        return sum(len(group.rules) for group in self.groups)


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """What a line said before and says now."""

    kind: str
    what: str
    before: str
    after: str
    note: str


@dataclass(frozen=True, slots=True)
class Changes:
    """What changed since an earlier revision; ``why`` where there is nothing to show."""

    against: str = ""
    groups: tuple[tuple[str, tuple[ChangeRow, ...]], ...] = ()
    expected: tuple[str, ...] = ()
    findings: tuple[FindingRow, ...] = ()
    notes: tuple[str, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class KeyRow:
    """A line of the set-up list."""

    number: int
    name: str
    keyed: str
    can_be_set: bool
    prescribed: str
    line: int | None
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KeySheet:
    """A set-up list of one part of the day."""

    scope: str
    rows: tuple[KeyRow, ...]
    parts: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class SetUpRows:
    """The set-up list for a ventilator; ``why`` where there is none."""

    ventilator: str = ""
    stops: tuple[str, ...] = ()
    sheets: tuple[KeySheet, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class PictureGroup:
    """The pictures of one part of the day."""

    scope: str
    pictures: tuple[Picture | NotDrawn, ...]


@dataclass(frozen=True, slots=True)
class Pictures:
    """The pictures by the section that shows them."""

    breaths: tuple[PictureGroup, ...] = ()
    alarms: tuple[PictureGroup, ...] = ()
    circuit: tuple[PictureGroup, ...] = ()
    oxygen: tuple[PictureGroup, ...] = ()


@dataclass(frozen=True, slots=True)
class PartsRow:
    """The parts of a circuit in order, as the order states them."""

    scope: str
    name: str
    line: int
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """What a section holds in one table a scope; ``why`` where there is nothing to show."""

    tables: tuple[SettingTable, ...] = ()
    values: tuple[ValueGroup, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class Circuit:
    """The circuit: what is stated of it, and its parts in order."""

    tables: tuple[SettingTable, ...] = ()
    parts: tuple[PartsRow, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class About:
    """What a sheet was made from and under which rules."""

    file: str
    day: str
    version: str
    policies: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole sheet. ``notices`` say on top what of the document could not be read or screened."""

    title: str
    running: str
    kind: str
    notices: tuple[str, ...]
    own: OwnCheck
    findings: Findings
    lines: tuple[TextLine, ...]
    settings: Section
    template: str
    values: Section
    pictures: Pictures
    alarms: Section
    circuit: Circuit
    oxygen: Section
    coverage: CoverageRows | None
    changes: Changes
    setup: SetUpRows
    about: About

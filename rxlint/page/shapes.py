"""What passes between the page and Python, as JSON: each question's answer is one of these.

Places are lines and columns from 1, ends exclusive, columns in code points, as everywhere in rxlint; the page turns
them into its editor's own. Paths are those of the page's folder, with forward slashes and without a leading one.
``python -m rxlint.page.typescript --write`` makes ``web/src/shapes.ts`` of this module.
"""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict

LevelName = Literal["reject", "query", "note"]
FileKind = Literal["document", "rules", "other"]
"""What a file is by its name: something written in the notation; YAML; anything else that was brought along."""
ScreenState = Literal["screened", "unread", "not screened", "rules", "no document"]
TokenName = Literal["section", "term", "number", "unit", "keyword", "word", "text", "comment", "name", "rule", "date"]


class Span(TypedDict):
    """A stretch of a text. ``line`` and ``column`` begin it, the others end it."""

    line: int
    column: int
    end_line: int
    end_column: int


class TextEdit(TypedDict):
    """Text to put in the place of what stands there."""

    at: Span
    text: str


class Elsewhere(TypedDict):
    """Another place that has to do with a finding; ``path`` is the document's own where it is in it."""

    path: str
    at: Span
    message: str


class Labelled(TypedDict):
    """A line of a finding with what it is: "set by policy", "also", "accepted", "holds for"."""

    label: str
    text: str


class Correction(TypedDict):
    """What would restore the order. ``edits`` is empty where it is told in words alone and nothing can be applied."""

    text: str
    edits: list[TextEdit]


class FindingCard(TypedDict):
    """A finding, or why a text can't be read (then without a rule), at its place.

    ``settled`` says that somebody answers for it or that it is known from before. ``key`` is the same as long as it is
    the same finding, so that a card stays open while the text changes. ``message`` may have several lines where a file
    of rules is told of.
    """

    key: str
    at: Span
    level: LevelName
    rule: NotRequired[str]
    title: str
    message: str
    settled: bool
    calculation: list[str]
    correction_label: str
    corrections: list[Correction]
    sound: list[str]
    related: list[Elsewhere]
    more: list[Labelled]
    because: str
    source: str


class Counts(TypedDict):
    """How many findings count at each level, and how many somebody answers for or are known."""

    reject: int
    query: int
    note: int
    settled: int


class Checks(TypedDict):
    """How much was looked at. ``state`` is "screened", or why nothing was: the text is "unread", it is "not screened"
    because the rules that hold for it can't be used, it is a file of "rules" itself, or "no document" of ours at all;
    ``told`` says it in one line.
    """

    state: ScreenState
    made: int
    wanting: int
    failed: int
    told: str


class Look(TypedDict):
    """All that is told of a text while it is written."""

    path: str
    kind: FileKind
    findings: list[FindingCard]
    counts: Counts
    checks: Checks
    policies: list[str]
    seconds: float


class Coloured(TypedDict):
    """A stretch of one line with what it is."""

    line: int
    column: int
    end_column: int
    kind: TokenName


class Colours(TypedDict):
    """What each stretch of a text is, in its order."""

    tokens: list[Coloured]


class Offered(TypedDict):
    """Text that may stand at a place: what it takes the place of, how it is shown, and more as Markdown."""

    label: str
    kind: str
    at: Span
    text: str
    detail: str
    markdown: str


class Offers(TypedDict):
    """What may be written at a place, the likeliest first."""

    offers: list[Offered]


class Told(TypedDict):
    """What is told of a place, as Markdown."""

    at: Span
    markdown: str


class Change(TypedDict):
    """A change that may be asked for at a place: lines that are missing, an acceptance, the layout."""

    title: str
    edits: list[TextEdit]


class Changes(TypedDict):
    """The changes that may be asked for at some lines. None is preferred, and none is made by itself."""

    changes: list[Change]


class Unmade(TypedDict):
    """A check that was not made: which, why, and what it wants."""

    rule: str
    title: str
    outcome: Literal["not checked", "undecided"]
    lacks: list[str]
    reasons: list[str]
    scope: str


class CoverageTable(TypedDict):
    """How every rule came out: counts by outcome, and those that could not be checked."""

    counts: dict[str, int]
    unmade: list[Unmade]


class SheetPage(TypedDict):
    """The checker's sheet as a page of its own."""

    html: str


class Ventilators(TypedDict):
    """The profiles that a document may be keyed in by; ``named`` is the one that it names itself, or ""."""

    names: list[str]
    named: str


class SetupText(TypedDict):
    """The set-up list: as data (the object of ``rxlint setup-list --format json``, as text) and as a report."""

    json: str
    text: str


class ComparedText(TypedDict):
    """Two revisions compared: the object of ``rxlint compare --format json`` as text, the report as Markdown, and the
    findings of the change as cards, whose places are in the new text."""

    json: str
    markdown: str
    findings: list[FindingCard]


class ReportText(TypedDict):
    """A report of every document, byte for byte what the command line writes of the same folder."""

    text: str


class ValuesText(TypedDict):
    """Every value that a document implies, as ``rxlint calculations`` tells it."""

    text: str


class Tidying(TypedDict):
    """The edits that bring a text into its canonical layout: white space alone changes. None where it has it."""

    edits: list[TextEdit]


class RulePage(TypedDict):
    """What there is to know of a rule, as Markdown."""

    markdown: str


class SettingsText(TypedDict):
    """A settings file that names every policy, pack and profile of the folder which nothing names yet, for the user to
    look at: where it belongs and what it says; ``text`` is "" where there is nothing to add. ``adds`` are those files.
    """

    path: str
    text: str
    adds: list[str]


class About(TypedDict):
    """What runs: its version, how many rules and packs are built in, and the caution that goes with every result."""

    version: str
    rules: int
    packs: int
    caution: str


class FileState(TypedDict):
    """A file of the page's folder as it was taken in: its text, or why it can't be shown as text."""

    path: str
    kind: FileKind
    text: NotRequired[str]
    unreadable: NotRequired[str]


class Taken(TypedDict):
    """What became of files that were brought along, in the order given, and the files that may come out otherwise now
    (as in ``Affected``), those that were brought among them.
    """

    files: list[FileState]
    affected: list[str]


class Affected(TypedDict):
    """The files that may come out otherwise now: documents, and files of rules, which may refer to one another."""

    paths: list[str]


class Fault(TypedDict):
    """A fault of the program: what is shown in place of an answer."""

    fault: str

"""What a line says, as read: values, words, lists and sentences, each with its place in the line.

Places are code points from the start of the statement's text (0-based, end exclusive); a part without a token of its
own has 0 for both. Numbers are kept as written beside their exact value. Units are symbols as written; whether they fit
the term is decided in ``measures``.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

ValueKind = Literal["exact", "between", "at most", "at least", "one of", "automatic"]


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of the vocabulary (or free name) in its canonical spelling, with its place."""

    text: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Part:
    """A number with the unit that follows it, if any."""

    number: Fraction
    text: str
    unit: str | None
    start: int
    number_end: int
    end: int


@dataclass(frozen=True, slots=True)
class Amount:
    """One amount: usually one part; an age may have several (7 years 4 months); a ratio 1:2 is the part 1/2."""

    parts: tuple[Part, ...]
    ratio: bool
    start: int
    end: int

    @property
    def unit(self) -> str | None:
        """The unit it ends with, as written or by its symbol."""
        return self.parts[-1].unit


@dataclass(frozen=True, slots=True)
class Value:
    """What is stated: one amount, a range, a choice, or what the device moves by itself."""

    kind: ValueKind
    amounts: tuple[Amount, ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Qualifier:
    """A word after a value that binds it: reference, basis, manner with date, "at" amount or place, delay."""

    kind: Literal["reference", "basis", "manner", "at", "place", "after"]
    start: int
    end: int
    word: str | None = None
    amount: Amount | None = None
    date: str | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """A value with its qualifiers and what may be set without a new order."""

    value: Value
    qualifiers: tuple[Qualifier, ...]
    allow: Value | None
    steps: Amount | None
    start: int
    end: int

    def qualifier(self, kind: str) -> Qualifier | None:
        """Its qualifier of this kind, if any."""
        return next((each for each in self.qualifiers if each.kind == kind), None)


@dataclass(frozen=True, slots=True)
class State:
    """on, off, yes or no, with the reason where one is given."""

    word: str
    because: str | None
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class After:
    """A delay."""

    amount: Amount
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class TableHead:
    """``by KEY``: the value stands in the rows that follow."""

    key: Phrase


@dataclass(frozen=True, slots=True)
class RowKey:
    """The key of a table's row: low included, high excluded (but the last row's high is included)."""

    kind: Literal["between", "under", "over", "exact"]
    amounts: tuple[Amount, ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a table: for which key which value holds."""

    key: RowKey
    measure: Measure


@dataclass(frozen=True, slots=True)
class Words:
    """Words chosen from a term's slots; several alternatives in a template."""

    alternatives: tuple[tuple[Phrase, ...], ...]


@dataclass(frozen=True, slots=True)
class ModeChoice:
    """A mode code, or several alternatives in a template."""

    codes: tuple[Phrase, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One item of a list with its quantity, where it has one."""

    name: str
    amount: Amount | None
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Items:
    """A list, in the order written."""

    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Text:
    """What stood between quotation marks, its escapes undone."""

    text: str


@dataclass(frozen=True, slots=True)
class Moment:
    """An ISO 8601 calendar date with an optional time of day."""

    date: str
    time: str | None
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Signed:
    """When, and in which role."""

    moment: Moment
    by: str


@dataclass(frozen=True, slots=True)
class Link:
    """The identifier and revision of another document."""

    id: Phrase
    revision: Part


@dataclass(frozen=True, slots=True)
class Cylinder:
    """Contents in litres, or a letter with country and pressure."""

    contents: Amount | None
    letter: Phrase | None = None
    country: str | None = None
    pressure: Amount | None = None


@dataclass(frozen=True, slots=True)
class PreOxygenation:
    """An oxygen share before suction: ``end`` says whether before it only or also after it."""

    fraction: Amount
    duration: Amount | None
    end: str | None


@dataclass(frozen=True, slots=True)
class Nebuliser:
    """Where a drug enters, and whether the exchanger stays or comes out, for how long, and returns."""

    place: str
    exchanger: str | None
    duration: Amount | None
    returns: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """A reading against an amount, for at least a duration where one is given."""

    reading: Phrase
    compare: Literal["above", "below", "at least", "at most"]
    amount: Amount
    duration: Amount | None


@dataclass(frozen=True, slots=True)
class Condition:
    """Alternatives of comparisons that must all hold."""

    either: tuple[tuple[Comparison, ...], ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Limit:
    """The end of a titration, of its first term."""

    word: Literal["up to", "down to"]
    amount: Amount
    reference: str | None
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Step:
    """``raise``/``lower`` TERM [and TERM] by STEP every TIME up to LIMIT when CONDITION."""

    terms: tuple[Phrase, ...]
    step: Amount
    every: Amount | None
    limit: Limit | None
    when: Condition | None


@dataclass(frozen=True, slots=True)
class Call:
    """Whom to call, and when."""

    whom: str
    when: Condition | None


@dataclass(frozen=True, slots=True)
class Gases:
    """When blood gases are taken, counted from the start."""

    at: tuple[Amount, ...]


@dataclass(frozen=True, slots=True)
class Stage:
    """A time off the ventilator: how long, how often a day, on what."""

    duration: Amount
    times: Amount | None
    on: Phrase | None


@dataclass(frozen=True, slots=True)
class Extend:
    """How time off grows: by how much, how often (or daily), up to what."""

    by: Amount
    every: Amount | None
    up_to: Amount | None
    daily: bool = False


@dataclass(frozen=True, slots=True)
class AcceptedValue:
    """The value that a finding was accepted at, with what it is above or per, as in the term's own line."""

    amount: Amount
    qualifier: Qualifier | None


@dataclass(frozen=True, slots=True)
class Accept:
    """A finding that somebody answers for: where, at which value, until when, why and in which role."""

    rule: Phrase
    term: Phrase | None
    value: AcceptedValue | None
    period: str | None
    until: Phrase | None
    because: str | None
    by: str | None


@dataclass(frozen=True, slots=True)
class Relation:
    """The text after ``keep``, read by the expression language when the facts are built."""

    text: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch of the day by the clock; it may cross midnight."""

    start_time: str
    end_time: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Period:
    """The period of a section: a name, a use, or clock windows alone."""

    name: str | None
    use: str | None
    windows: tuple[Window, ...]
    up_to: Amount | None
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Heading:
    """A line at the margin. ``section`` is its kind; the other fields are those of its form."""

    section: str
    start: int
    end: int
    title: str | None = None
    period: Period | None = None
    delay: Amount | None = None
    change: Literal["before", "after"] | None = None
    moment: Moment | None = None
    by: str | None = None
    code: str | None = None
    link: Link | None = None  # of `readings for`: the order that they are of


Body = (
    Measure | State | After | TableHead | Words | ModeChoice | Items | Text | Phrase | Part | Moment | Signed | Link
    | Cylinder | PreOxygenation | Nebuliser | Step | Condition | Call | Gases | Stage | Extend | Accept | Relation
)  # fmt: skip

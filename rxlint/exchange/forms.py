"""The forms that the value of a detail can have, and headings: one shape for each node of the notation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

from rxlint.exchange.amounts import AMOUNT, NUMBER, VALUE
from rxlint.exchange.shapes import (
    NEEDED,
    Choice,
    Field,
    Flag,
    Json,
    Many,
    Named,
    Node,
    Only,
    Path,
    Schema,
    Shape,
    Text,
    members_of,
    placed,
)
from rxlint.notation import nodes as n
from rxlint.vocabulary import Term

_NAME: Final = Text("a name without spaces", r'[^\s,()"]+')
_PHRASE: Final = Text("a phrase of the notation", r'[^\s"#](?:[^"#]*[^\s"#])?')
_WORD: Final = Only(placed(n.Phrase), "text", _PHRASE)
_IDENTIFIER: Final = Only(placed(n.Phrase), "text", _NAME)
_TEXT: Final = Text()
_ROLE: Final = Text("a role")
_DATE: Final = Text("a date such as 2026-11-24", "[0-9]{4}-[0-9]{2}-[0-9]{2}")
_TIME: Final = Text("a time such as 08:00", "[0-9]{2}:[0-9]{2}")
_REFERENCE: Final = Choice(("ambient", "PEEP"))
_COUNT: Final = Only(lambda text: n.Part(Fraction(text), text, None, 0, 0, 0), "text", NUMBER)
_LINK: Final = Node(
    n.Link, (Field("id", _IDENTIFIER, NEEDED), Field("revision", _COUNT, NEEDED)), "a document and its revision"
)
_MOMENT: Final = Node(
    placed(n.Moment),
    (Field("date", _DATE, NEEDED), Field("time", _TIME)),
    "a date with a time of day, where it has one",
)


class Qualifiers:
    """What follows a value: above what, of which weight, how it is known, at what, where, after which delay."""

    NAMES: Final[Mapping[str, str]] = {
        "above": "reference", "of": "basis", "manner": "manner", "at": "at", "place": "place", "after": "after",
    }  # fmt: skip
    _MANNER: Final = Node(
        dict, (Field("word", _PHRASE, NEEDED), Field("date", _DATE)), "how a value is known, and since when"
    )
    _SHAPES: Final[Mapping[str, Shape]] = {
        "above": _REFERENCE, "of": _PHRASE, "manner": _MANNER, "at": AMOUNT, "place": _PHRASE, "after": AMOUNT,
    }  # fmt: skip

    @classmethod
    def write(cls, qualifiers: tuple[n.Qualifier, ...]) -> dict[str, Json]:
        """The members that they are."""
        by_kind = {each.kind: each for each in qualifiers}
        found: dict[str, Json] = {}
        for name, kind in cls.NAMES.items():
            each = by_kind.get(kind)  # type: ignore[call-overload]
            if each is None:
                continue
            if each.amount is not None:
                found[name] = AMOUNT.write(each.amount)
            elif kind == "manner":
                found[name] = {"word": each.word} | ({"date": each.date} if each.date is not None else {})
            else:
                found[name] = each.word
        return found

    @classmethod
    def read(cls, members: Mapping[str, Json], at: Path) -> tuple[n.Qualifier, ...]:
        """The qualifiers that some members are."""
        found: list[n.Qualifier] = []
        for name, kind in cls.NAMES.items():
            if name not in members:
                continue
            given = cls._SHAPES[name].read(members[name], (*at, name))
            word = given if isinstance(given, str) else None
            amount = given if isinstance(given, n.Amount) else None
            date = None
            if isinstance(given, dict):
                word, date = given["word"], given["date"]
            found.append(n.Qualifier(kind, 0, 0, word, amount, date))  # type: ignore[arg-type]
        return tuple(found)

    @classmethod
    def schemas(cls, *names: str) -> dict[str, Schema]:
        """The schemas of the members."""
        about = {
            "above": "what a pressure is measured from; where the term fixes it, it is told all the same",
            "of": "which weight a value per kilogram is of",
            "at": "the pressure at which a flow was stated",
            "place": "where oxygen is added",
            "after": "how long an alarm waits",
        }
        chosen = names or tuple(cls.NAMES)
        return {
            name: cls._SHAPES[name].schema() | ({"description": about[name]} if name in about else {})
            for name in chosen
        }


class Measure:
    """A value with its qualifiers and what may be set without a new order."""

    _OWN: Final = ("value", "allow", "steps")

    def write(self, value: Any) -> Json:
        """An object."""
        assert isinstance(value, n.Measure)
        found: dict[str, Json] = {"value": VALUE.write(value.value), **Qualifiers.write(value.qualifiers)}
        if value.allow is not None:
            found["allow"] = VALUE.write(value.allow)
        if value.steps is not None:
            found["steps"] = AMOUNT.write(value.steps)
        return found

    def read(self, json: Json, at: Path) -> Any:
        """The measure."""
        members = members_of(json, at, ["value", *Qualifiers.NAMES, "allow", "steps"])
        value = VALUE.read(members.get("value"), (*at, "value"))
        allow = VALUE.read(members["allow"], (*at, "allow")) if "allow" in members else None
        steps = AMOUNT.read(members["steps"], (*at, "steps")) if "steps" in members else None
        return n.Measure(value, Qualifiers.read(members, at), allow, steps, 0, 0)

    def schema(self) -> Schema:
        """An object."""
        more = {
            "allow": VALUE.schema() | {"description": "what may be set without a new order"},
            "steps": AMOUNT.schema() | {"description": "by how much at a time"},
        }
        return {
            "type": "object",
            "properties": {"value": VALUE.schema(), **Qualifiers.schemas(), **more},
            "required": ["value"],
            "additionalProperties": False,
        }


class AcceptedValue:
    """The value that a finding was accepted at."""

    def write(self, value: Any) -> Json:
        """An object."""
        assert isinstance(value, n.AcceptedValue)
        qualifiers = (value.qualifier,) if value.qualifier is not None else ()
        return {"amount": AMOUNT.write(value.amount), **Qualifiers.write(qualifiers)}

    def read(self, json: Json, at: Path) -> Any:
        """The value."""
        members = members_of(json, at, ["amount", "above", "of"])
        qualifiers = Qualifiers.read(members, at)
        return n.AcceptedValue(
            AMOUNT.read(members.get("amount"), (*at, "amount")), qualifiers[0] if qualifiers else None
        )

    def schema(self) -> Schema:
        """An object."""
        return {
            "type": "object",
            "properties": {"amount": AMOUNT.schema(), **Qualifiers.schemas("above", "of")},
            "required": ["amount"],
            "additionalProperties": False,
        }


MEASURE: Final = Named("measure", Measure())

_COMPARISON: Final = Node(
    n.Comparison,
    (
        Field("reading", _WORD, NEEDED),
        Field("compare", Choice(("above", "below", "at least", "at most")), NEEDED),
        Field("amount", AMOUNT, NEEDED),
        Field("for", AMOUNT, attribute="duration"),
    ),
    "a reading against an amount, for at least so long",
)
CONDITION: Final = Named("condition", Only(placed(n.Condition), "either", Many(Many(_COMPARISON))))
_LIMIT: Final = Node(
    placed(n.Limit),
    (
        Field("word", Choice(("up to", "down to")), NEEDED),
        Field("amount", AMOUNT, NEEDED),
        Field("above", _REFERENCE, attribute="reference"),
    ),
    "the end of the steps, of the first term",
)
_WINDOW: Final = Node(
    placed(n.Window),
    (Field("from", _TIME, NEEDED, "start_time"), Field("to", _TIME, NEEDED, "end_time")),
    "a stretch of the day; it may cross midnight",
)
PERIOD: Final = Node(
    placed(n.Period),
    (
        Field("name", _PHRASE),
        Field("use", Choice(("asleep", "awake", "as needed", "during transfer"))),
        Field("windows", Many(_WINDOW), ()),
        Field("up_to", AMOUNT),
    ),
    "the part of the day or of use that a section holds for",
)


@dataclass(frozen=True, slots=True)
class Form:
    """A form that a detail's value can have: the node that it is, and the shape of it."""

    node: type
    shape: Shape
    about: str


FORMS: Final[Mapping[str, Form]] = {
    "measure": Form(n.Measure, MEASURE, "an amount, a range or a choice, with what belongs to it"),
    "state": Form(
        n.State,
        Node(placed(n.State), (Field("word", Choice(("on", "off", "yes", "no")), NEEDED), Field("because", _TEXT))),
        "on or off, yes or no",
    ),
    "after": Form(n.After, Only(placed(n.After), "amount", AMOUNT), "how long an alarm waits"),
    "by": Form(n.TableHead, Only(n.TableHead, "key", _WORD), "a table: the term that its rows go by, by its key"),
    "words": Form(n.Words, Only(n.Words, "alternatives", Many(Many(_WORD))), "words in alternatives"),
    "modes": Form(n.ModeChoice, Only(n.ModeChoice, "codes", Many(_WORD)), "mode codes, one of which holds"),
    "items": Form(
        n.Items,
        Only(
            n.Items,
            "items",
            Many(Node(placed(n.Item), (Field("item", _PHRASE, NEEDED, "name"), Field("amount", AMOUNT)))),
        ),
        "a list, in its order",
    ),
    "text": Form(n.Text, Only(n.Text, "text", _TEXT), "a text"),
    "name": Form(n.Phrase, _WORD, "an identifier, or the name of a period"),
    "count": Form(n.Part, _COUNT, "a whole number"),
    "moment": Form(n.Moment, _MOMENT, "a date, with a time of day"),
    "signed": Form(
        n.Signed, Node(n.Signed, (Field("moment", _MOMENT, NEEDED), Field("by", _ROLE, NEEDED))), "when, in which role"
    ),
    "link": Form(n.Link, _LINK, "another document"),
    "cylinder": Form(
        n.Cylinder,
        Node(
            n.Cylinder,
            (Field("contents", AMOUNT), Field("letter", _WORD), Field("country", _PHRASE), Field("pressure", AMOUNT)),
        ),
        "a cylinder by its contents, or by its letter",
    ),
    "pre_oxygenation": Form(
        n.PreOxygenation,
        Node(
            n.PreOxygenation,
            (
                Field("fraction", AMOUNT, NEEDED),
                Field("for", AMOUNT, attribute="duration"),
                Field("when", Choice(("before suction", "before and after suction")), attribute="end"),
            ),
        ),
        "oxygen given around suction",
    ),
    "nebuliser": Form(
        n.Nebuliser,
        Node(
            n.Nebuliser,
            (
                Field("on", Choice(("patient side", "ventilator side")), NEEDED, "place"),
                Field("exchanger", Choice(("stays", "out"))),
                Field("for", AMOUNT, attribute="duration"),
                Field("returns", Flag(), False),
            ),
        ),
        "where a drug enters, and what becomes of the exchanger",
    ),
    "step": Form(
        n.Step,
        Node(
            n.Step,
            (
                Field("terms", Many(_WORD), NEEDED),
                Field("by", AMOUNT, NEEDED, "step"),
                Field("every", AMOUNT),
                Field("limit", _LIMIT),
                Field("when", CONDITION),
            ),
        ),
        "a step that staff may make; its term says in which direction",
    ),
    "condition": Form(n.Condition, CONDITION, "alternatives of comparisons that hold together"),
    "call": Form(
        n.Call, Node(n.Call, (Field("whom", _TEXT, NEEDED), Field("when", CONDITION))), "whom to call, and when"
    ),
    "gases": Form(n.Gases, Only(n.Gases, "at", Many(AMOUNT)), "when blood gases are taken"),
    "stage": Form(
        n.Stage,
        Node(
            n.Stage,
            (Field("for", AMOUNT, NEEDED, "duration"), Field("times", AMOUNT), Field("on", _WORD)),
        ),
        "a time off the ventilator",
    ),
    "extend": Form(
        n.Extend,
        Node(
            n.Extend,
            (
                Field("by", AMOUNT, NEEDED),
                Field("every", AMOUNT),
                Field("daily", Flag(), False),
                Field("up_to", AMOUNT),
            ),
        ),
        "how time off grows",
    ),
    "accept": Form(
        n.Accept,
        Node(
            n.Accept,
            (
                Field("rule", _IDENTIFIER, NEEDED),
                Field("on", _WORD, attribute="term"),
                Field("value", AcceptedValue()),
                Field("in", _PHRASE, attribute="period"),
                Field("until", Only(placed(n.Phrase), "text", _DATE)),
                Field("because", _TEXT),
                Field("by", _ROLE),
            ),
        ),
        "a finding that somebody answers for",
    ),
    "relation": Form(
        n.Relation, Only(placed(n.Relation), "text", Text("a relation")), "a relation that must hold, as it is written"
    ),
}
"""Every form by its name in JSON."""

_NAME_OF: Final = {form.node: name for name, form in FORMS.items()}


def form_of(body: n.Body) -> str:
    """The name of the form that a body has."""
    return _NAME_OF[type(body)]


HEADING: Final[tuple[Field, ...]] = (
    Field("title", _TEXT),
    Field("period", PERIOD, about="left out where the section holds always"),
    Field("after_apnoea", AMOUNT, attribute="delay", about="of a back-up: after which time without a breath"),
    Field("change", Choice(("before", "after")), about="of readings: before or after a change"),
    Field("moment", _MOMENT, about="of readings and checks: when"),
    Field("by", _ROLE, about="of readings and checks: in which role"),
    Field("code", _NAME, about="of a check: the code of what was checked"),
    Field("document", _LINK, attribute="link", about="of readings for a document: which"),
)
"""What a heading can say beside its section."""


def with_reference(measure: n.Measure, term: Term | None) -> n.Measure:
    """A measure with the reference that binds it, also where the term fixes it."""
    if term is None or term.reference not in ("ambient", "PEEP") or measure.qualifier("reference") is not None:
        return measure
    return replace(measure, qualifiers=(n.Qualifier("reference", 0, 0, term.reference), *measure.qualifiers))


def without_reference(measure: n.Measure, term: Term | None) -> n.Measure:
    """A measure as it is written in one place: a reference that the term fixes is not said again."""
    stated = measure.qualifier("reference")
    if stated is None or term is None or stated.word != term.reference:
        return measure
    return replace(measure, qualifiers=tuple(each for each in measure.qualifiers if each is not stated))

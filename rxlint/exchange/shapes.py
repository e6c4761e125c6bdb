"""Shapes of JSON: each turns a value into JSON, JSON back into the value, and tells its own schema.

So what is written, what is read and what the schema promises have one home. Reading refuses what it does not know, and
says by its path where that stands.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Protocol

Json = str | bool | int | None | list["Json"] | dict[str, "Json"]
Path = tuple[str | int, ...]
Schema = dict[str, Any]

LONGEST: Final = 2_000
"""Longest text, in code points: that of a line of the notation."""
MOST: Final = 50_000
"""Most members of a list: the lines that a document may have."""
_NO_TEXT: Final = re.compile(r"[\n\ud800-\udfff]")


class Fault(Exception):
    """What can't be read, and the path to it."""

    def __init__(self, path: Path, message: str) -> None:
        super().__init__(message)
        self.path = path
        self.message = message


class Shape(Protocol):
    """How a value stands in JSON. ``read`` raises Fault."""

    def write(self, value: Any) -> Json:
        """The value as JSON."""
        ...

    def read(self, json: Json, at: Path) -> Any:
        """The value that some JSON stands for."""
        ...

    def schema(self) -> Schema:
        """What JSON it takes."""
        ...


def kind_of(json: Json) -> str:
    """What some JSON is, in words."""
    match json:
        case None:
            return "null"
        case bool():
            return "true or false"
        case str():
            return "a text"
        case list():
            return "a list"
        case dict():
            return "an object"
        case _:
            return "a number"


def wrong(at: Path, json: Json, expected: str) -> Fault:
    """The fault of JSON that is of another kind than what belongs there."""
    return Fault(at, f"{kind_of(json)} stands where {expected} belongs")


@dataclass(frozen=True, slots=True)
class Text:
    """A text on one line, of a pattern where one is given; ``what`` it is, for messages."""

    what: str = "a text"
    pattern: str | None = None
    longest: int = LONGEST

    def write(self, value: Any) -> Json:
        """The text itself."""
        assert isinstance(value, str)
        return value

    def read(self, json: Json, at: Path) -> Any:
        """The text itself."""
        if not isinstance(json, str):
            raise wrong(at, json, self.what)
        if len(json) > self.longest:
            raise Fault(at, f"{self.what} of {len(json):,} characters; the limit is {self.longest:,}")
        if _NO_TEXT.search(json):
            raise Fault(at, f"{self.what} can't hold a line feed or half of a surrogate pair")
        if self.pattern is not None and not re.fullmatch(self.pattern, json):
            raise Fault(at, f"{json[:60]!r} is not {self.what}")
        return json

    def schema(self) -> Schema:
        """A string."""
        found: Schema = {"type": "string", "maxLength": self.longest}
        return found | ({"pattern": f"^(?:{self.pattern})$"} if self.pattern is not None else {})


@dataclass(frozen=True, slots=True)
class Choice:
    """One of some words."""

    words: tuple[str, ...]

    def write(self, value: Any) -> Json:
        """The word itself."""
        assert value in self.words, value
        return str(value)

    def read(self, json: Json, at: Path) -> Any:
        """The word itself."""
        if not isinstance(json, str):
            raise wrong(at, json, "a word")
        if json not in self.words:
            raise Fault(
                at, f"{json[:60]!r} is not known here; known {'is' if len(self.words) == 1 else 'are'} {self._told()}"
            )
        return json

    def _told(self) -> str:
        shown = ", ".join(self.words[:12])
        return shown if len(self.words) <= 12 else f"{shown} and {len(self.words) - 12} more"

    def schema(self) -> Schema:
        """An enumeration."""
        return {"enum": list(self.words)}


@dataclass(frozen=True, slots=True)
class Flag:
    """True, or left out."""

    def write(self, value: Any) -> Json:
        """True or false."""
        return bool(value)

    def read(self, json: Json, at: Path) -> Any:
        """True."""
        if json is not True:
            raise wrong(at, json, "true")
        return True

    def schema(self) -> Schema:
        """True alone."""
        return {"const": True}


@dataclass(frozen=True, slots=True)
class Many:
    """A list of one shape, as a tuple."""

    shape: Shape
    least: int = 1

    def write(self, value: Any) -> Json:
        """A list."""
        return [self.shape.write(each) for each in value]

    def read(self, json: Json, at: Path) -> Any:
        """A tuple."""
        if not isinstance(json, list):
            raise wrong(at, json, "a list")
        if not self.least <= len(json) <= MOST:
            raise Fault(at, f"a list of {len(json):,}; it may have {self.least} to {MOST:,}")
        return tuple(self.shape.read(each, (*at, index)) for index, each in enumerate(json))

    def schema(self) -> Schema:
        """An array."""
        return {"type": "array", "items": self.shape.schema(), "minItems": self.least}


@dataclass(frozen=True, slots=True)
class Field:
    """A member of an object: its name in JSON, the attribute that it is, and what that is where it is left out.

    ``default`` is ``NEEDED`` where it may not be left out.
    """

    name: str
    shape: Shape
    default: Any = None
    attribute: str | None = None
    about: str = ""

    @property
    def of(self) -> str:
        """The attribute's name."""
        return self.attribute or self.name


NEEDED: Final = object()


@dataclass(frozen=True, slots=True)
class Node:
    """An object with some fields: a node of the notation, or another dataclass. Places are left out, and read as 0."""

    make: Callable[..., Any]
    fields: tuple[Field, ...]
    title: str = ""

    def write(self, value: Any) -> Json:
        """An object of the fields that say something."""
        found: dict[str, Json] = {}
        for field in self.fields:
            held = getattr(value, field.of)
            if field.default is NEEDED or held != field.default:
                found[field.name] = field.shape.write(held)
        return found

    def read(self, json: Json, at: Path) -> Any:
        """The node."""
        members = members_of(json, at, [field.name for field in self.fields])
        given: dict[str, Any] = {}
        for field in self.fields:
            if field.name in members:
                given[field.of] = field.shape.read(members[field.name], (*at, field.name))
            elif field.default is NEEDED:
                raise Fault(at, f"{field.name} is missing")
            else:
                given[field.of] = field.default
        return self.make(**given)

    def schema(self) -> Schema:
        """An object that holds nothing else."""
        about = {"description": self.title} if self.title else {}
        return {
            "type": "object",
            **about,
            "properties": {
                field.name: field.shape.schema() | ({"description": field.about} if field.about else {})
                for field in self.fields
            },
            "required": [field.name for field in self.fields if field.default is NEEDED],
            "additionalProperties": False,
        }


@dataclass(frozen=True, slots=True)
class Only:
    """A node of one field, written as that field alone."""

    make: Callable[..., Any]
    attribute: str
    shape: Shape

    def write(self, value: Any) -> Json:
        """The field."""
        return self.shape.write(getattr(value, self.attribute))

    def read(self, json: Json, at: Path) -> Any:
        """The node."""
        return self.make(**{self.attribute: self.shape.read(json, at)})

    def schema(self) -> Schema:
        """The field's."""
        return self.shape.schema()


@dataclass(frozen=True, slots=True)
class Named:
    """A shape that the schema tells once, under a name."""

    name: str
    shape: Shape

    def write(self, value: Any) -> Json:
        """As the shape."""
        return self.shape.write(value)

    def read(self, json: Json, at: Path) -> Any:
        """As the shape."""
        return self.shape.read(json, at)

    def schema(self) -> Schema:
        """A reference to the definition."""
        return {"$ref": f"#/$defs/{self.name}"}


def placed(make: Callable[..., Any]) -> Callable[..., Any]:
    """The making of a node whose place is not known: 0 for all of it."""
    assert isinstance(make, type)
    assert dataclasses.is_dataclass(make)
    places = {field.name: 0 for field in dataclasses.fields(make) if field.name in ("start", "end", "number_end")}
    return lambda **given: make(**places, **given)


def members_of(json: Json, at: Path, known: Sequence[str]) -> Mapping[str, Json]:
    """The members of an object, all of them known. Raises Fault."""
    if not isinstance(json, dict):
        raise wrong(at, json, "an object")
    for name in json:
        if name not in known:
            raise Fault((*at, name), f"{name[:60]!r} is not known here; known are {', '.join(known)}")
    return json

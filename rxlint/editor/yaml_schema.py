"""What the schemas of packs, of profiles and of settings say of a place: its keys, its words, its meaning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, Literal

from rxlint.editor.yaml_outline import Path, Step
from rxlint.library.settings import KEYS as SETTINGS
from rxlint.library.settings import ONE_FILE, WORDS
from rxlint.packs.profile_schema import schema_of_profiles
from rxlint.packs.schema import schema_of_packs

Kind = Literal["pack", "policy", "profile", "settings"]
_DEEPEST: Final = 8  # of references to references


@dataclass(frozen=True, slots=True)
class Shape:
    """One way in which a place may be filled: the schema, the name of its definition, and what is said of it."""

    schema: Mapping[str, Any]
    name: str
    told: str

    @property
    def keys(self) -> Mapping[str, Any]:
        """The keys of a mapping with what each holds."""
        found: Mapping[str, Any] = self.schema.get("properties", {})
        return found

    @property
    def words(self) -> tuple[str, ...]:
        """The words that may stand there."""
        return tuple(str(each).lower() if isinstance(each, bool) else str(each) for each in self.schema.get("enum", ()))

    @property
    def kinds(self) -> tuple[str, ...]:
        """What may stand there: object, array, string and the like; nothing where the schema does not say."""
        kind = self.schema.get("type", ())
        return (kind,) if isinstance(kind, str) else tuple(kind)


def shapes(kind: Kind, path: Path) -> tuple[Shape, ...]:
    """The ways in which the place at the end of a path may be filled; none where nothing may stand there."""
    root = _root(kind)
    found = list(_ways(root, root, "", "", 0))
    for step in path:
        found = [way for shape in found for each in _below(shape, step) for way in _ways(root, each, "", "", 0)]
    return tuple(found)


@cache
def _root(kind: Kind) -> Mapping[str, Any]:
    if kind == "profile":
        return schema_of_profiles()
    return _settings() if kind == "settings" else schema_of_packs()


def _settings() -> Mapping[str, Any]:
    """Settings have no schema of their own: their keys are few, and what each names is judged where the file stands."""
    keys: dict[str, Any] = {}
    for key, told in SETTINGS.items():
        if key in WORDS:
            keys[key] = {"enum": list(WORDS[key]), "description": told}
        else:
            one = {"type": "string"}
            keys[key] = {**(one if key in ONE_FILE else {"type": "array", "items": one}), "description": told}
    return {"type": "object", "properties": keys, "additionalProperties": False}


def _below(shape: Shape, step: Step) -> Iterator[Mapping[str, Any]]:
    if isinstance(step, int):
        if "items" in shape.schema:
            yield shape.schema["items"]
    elif step in shape.keys:
        yield shape.keys[step]
    elif isinstance(shape.schema.get("additionalProperties"), Mapping):
        yield shape.schema["additionalProperties"]


def _ways(root: Mapping[str, Any], schema: Mapping[str, Any], name: str, told: str, depth: int) -> Iterator[Shape]:
    """A schema with its references followed and its alternatives apart."""
    told = told or schema.get("description", "")
    reference = str(schema.get("$ref", ""))
    if reference and depth < _DEEPEST:
        name = reference.rpartition("/")[2]
        yield from _ways(root, root["$defs"][name], name, told, depth + 1)
        return
    alternatives = [each for each in (*schema.get("anyOf", ()), *schema.get("oneOf", ())) if _says_more(each)]
    if alternatives and depth < _DEEPEST and "properties" not in schema:
        for each in alternatives:
            yield from _ways(root, each, name, told, depth + 1)
        return
    yield Shape(schema, name, told)


def _says_more(schema: Mapping[str, Any]) -> bool:
    return any(key in schema for key in ("$ref", "type", "enum", "anyOf", "oneOf", "properties"))


def told_of(found: Iterable[Shape]) -> str:
    """What is said of a place."""
    return next((shape.told for shape in found if shape.told), "")

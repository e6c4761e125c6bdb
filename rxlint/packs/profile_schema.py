"""The JSON schema of a ventilator profile, for editors: ``rules/profile.schema.json``, and a part of that of packs.

``python -m rxlint.packs.schema --write`` renews both. The loader decides what a profile may hold.
"""

from __future__ import annotations

import json
from typing import Any, Final

from rxlint.packs.dial_load import ENTERED, FRACTION, settable
from rxlint.units import ALIASES, UNITS
from rxlint.vocabulary import vocabulary

NAME: Final = "profile.schema.json"
_NUMBER: Final = r"^-?[0-9]+(\.[0-9]+)?$"

Schema = dict[str, Any]


def schema_of_profiles() -> Schema:
    """The whole schema of a profile's file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Ventilator profile of rxlint",
        "description": "What a site's ventilator can be set to, by the names that stand on it.",
        "$ref": "#/$defs/profile",
        "$defs": profile_definitions(),
    }


def text_of_profile_schema() -> str:
    """The schema as the file holds it."""
    return json.dumps(schema_of_profiles(), indent=2, ensure_ascii=True) + "\n"


def profile_definitions() -> dict[str, Schema]:
    """The parts, by name; each refers to the others."""
    modes = list(vocabulary().modes)
    limbs = list(vocabulary().sections["circuit"].terms["limb"].slots[0].words)
    return {
        "profile": _profile(limbs, modes),
        "profile setting": _dial("setting", settable("settings"), {}),
        "profile alarm": _dial("alarm", settable("alarms"), {"off": _text("what stands there for switched off")}),
        "profile steps": _mapping(_stretch(), ("range", "step")),
        "profile needed": _mapping(
            {"name": _text("what it is called"), "ask": _text("what to ask the prescriber"), "modes": _modes(modes)},
            ("name", "ask"),
        ),
        "profile modes": _modes(modes),
    }


def _mapping(properties: dict[str, Schema], required: tuple[str, ...]) -> Schema:
    return {"type": "object", "properties": properties, "additionalProperties": False, "required": list(required)}


def _text(told: str) -> Schema:
    return {"type": ["string", "number"], "minLength": 1, "pattern": r"\S", "description": told}


def _number(told: str) -> Schema:
    return {"type": ["number", "string"], "pattern": _NUMBER, "description": told}


def _modes(modes: list[str]) -> Schema:
    return {"type": "array", "items": {"enum": modes}, "description": "the modes it is there in; without it, all"}


def _named(words: list[str], told: str) -> Schema:
    names = {word: _text("its name on site") for word in words}
    return {**_mapping(names, ()), "minProperties": 1, "description": told}


def _listed(name: str, told: str) -> Schema:
    return {"type": "array", "items": {"$ref": f"#/$defs/{name}"}, "description": told}


def _profile(limbs: list[str], modes: list[str]) -> Schema:
    keys = {
        "profile": _text("the ventilator's name, as orders state it"),
        "revision": {"type": ["integer", "string"], "minimum": 0, "pattern": "^[0-9]+$"},
        "summary": _text("what it is, in one line"),
        "limbs": _named(limbs, "the circuits it takes, by the notation's word"),
        "modes": _named(modes, "the modes it has, by the notation's code"),
        "settings": _listed("profile setting", "in the order in which they are keyed in"),
        "alarms": _listed("profile alarm", "in the order in which they are keyed in"),
        "must be set": _listed("profile needed", "what it asks for and the notation has no term for"),
    }
    return _mapping(keys, ("profile", "revision", "summary", "limbs", "modes", "settings"))


def _stretch() -> dict[str, Schema]:
    return {"range": _text("LOW to HIGH, in the unit"), "step": _number("the step, in the unit")}


def _dial(what: str, terms: tuple[str, ...], more: dict[str, Schema]) -> Schema:
    one = {"enum": list(terms)}
    scale = {"type": "object", "additionalProperties": _text("what it means in the notation"), "minProperties": 1}
    keys: dict[str, Schema] = {
        what: {"anyOf": [one, {"type": "array", "items": one, "minItems": 1}], "description": "what it sets"},
        "name": _text("its name on site"),
        "unit": {"enum": sorted({*UNITS, *ALIASES, FRACTION})},
        **_stretch(),
        "steps": {"type": "array", "items": {"$ref": "#/$defs/profile steps"}, "minItems": 1},
        "entered": {"enum": list(ENTERED), "description": "what its pressure counts from"},
        "scale": {**scale, "description": "what stands there, and what it means"},
        "modes": {"$ref": "#/$defs/profile modes"},
        "near enough": _number("how far from its place the site lets a value lie, in the unit"),
        **more,
    }
    kinds = [{"required": [key]} for key in ("range", "steps", "scale")]
    return {**_mapping(keys, (what, "name")), "oneOf": kinds}

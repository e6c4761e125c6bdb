"""The JSON schema of a pack file, for editors that complete keys and mark mistakes while a pack is written.

``python -m rxlint.packs.schema --write`` renews ``rules/pack.schema.json``, and ``rules/profile.schema.json`` with it;
tests hold them fresh. The loader decides what a pack may hold: expressions, references to other packs and terms of a
pack's own are read there alone.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from rxlint.data import data_folder
from rxlint.expressions import NumberType
from rxlint.model.names import base_names, stated_types
from rxlint.packs.found_by import EVENTS
from rxlint.packs.load import POLICY_KEYS
from rxlint.packs.pack import BASES, LEVELS, POLICY_BASES
from rxlint.packs.profile_schema import NAME as PROFILES
from rxlint.packs.profile_schema import profile_definitions, text_of_profile_schema
from rxlint.units import ALIASES, UNITS
from rxlint.vocabulary import vocabulary

NAME: Final = "pack.schema.json"
_ID: Final = r"^[a-z][a-z0-9-]*(\.[a-z0-9-]+)+$"

Schema = dict[str, Any]


def schema_of_packs() -> Schema:
    """The whole schema."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rule pack of rxlint",
        "description": "Rules, or the policy of a site, that rxlint screens prescriptions by.",
        **_mapping({**_pack(), **_policy()}, ("pack", "revision", "summary")),
        "if": {"not": _any_of_keys(POLICY_KEYS)},
        "then": {
            "required": ["rules"],
            "properties": {"rules": {"items": {"properties": {"basis": {"enum": list(BASES)}}}}},
        },
        "$defs": _definitions(),
    }


def text_of_schema() -> str:
    """The schema as the file holds it."""
    return json.dumps(schema_of_packs(), indent=2, ensure_ascii=True) + "\n"


# ---- parts


def _mapping(properties: Mapping[str, Schema], required: Iterable[str] = ()) -> Schema:
    needed = list(required)
    schema: Schema = {"type": "object", "properties": dict(properties), "additionalProperties": False}
    return {**schema, "required": needed} if needed else schema


def _any_of_keys(keys: Iterable[str]) -> Schema:
    return {"anyOf": [{"required": [key]} for key in keys]}


def _text(told: str) -> Schema:
    return {"$ref": "#/$defs/text", "description": told}


def _expression(told: str) -> Schema:
    return {"$ref": "#/$defs/expression", "description": told}


def _list(items: Schema, told: str) -> Schema:
    return {"type": "array", "items": items, "description": told}


def _one_or_more(items: Schema, told: str) -> Schema:
    return {"anyOf": [items, {"type": "array", "items": items}], "description": told}


def _ref(name: str, told: str) -> Schema:
    return {"$ref": f"#/$defs/{name}", "description": told}


_LEVEL: Final = "reject: not to be used as written; query: ask the prescriber; note: worth knowing"
_CONDITION: Final = "the condition under which it applies; without it, it always applies"
_SOURCE: Final = "the published source, or `common practice, no published source`; from memory, it says `from memory`"
_ROW: Final = "an area before a point, and a name of its own: a nearer policy replaces a row by its id"


def _pack() -> dict[str, Schema]:
    return {
        "pack": _text("the pack's name, which stands before the point in the ids of its rules"),
        "revision": {
            "type": ["integer", "string"],
            "minimum": 0,
            "pattern": "^[0-9]+$",
            "description": "raised with every change",
        },
        "summary": _text("what the pack is about, in one line"),
        "uses": _list(
            _ref("pack", "a pack"), "packs whose rules this one speaks of, or whose findings its cases may show"
        ),
        "define": {
            "type": "object",
            "description": "terms of this pack's own, by name",
            "additionalProperties": {"$ref": "#/$defs/defined"},
        },
        "rules": _list({"$ref": "#/$defs/rule"}, "the rules, in the order in which they are listed"),
        "profiles of cases": _list({"$ref": "#/$defs/profile"}, "ventilators that the cases of this pack are tried on"),
    }


def _policy() -> dict[str, Schema]:
    named = {"$ref": "#/$defs/area or rule"}
    return {
        "fixed": _list(
            {"$ref": "#/$defs/fixed"}, "settings that the site always sets alike; anything else is a deviation"
        ),
        "limits": _list({"$ref": "#/$defs/limit"}, "ranges that the site stays within"),
        "demand": _list({"$ref": "#/$defs/demand"}, "what an order must state"),
        "must be checked": _list(
            named, "rules, or whole areas, that must come to an answer: if not, that is a finding"
        ),
        "never accepted": _list(named, "rules, or whole areas, whose findings no document may accept"),
        "adjust": _list({"$ref": "#/$defs/adjusted"}, "levels and defined terms of used packs, changed with a reason"),
    }


def _definitions() -> dict[str, Schema]:
    return {
        "text": {"type": ["string", "number"], "minLength": 1, "pattern": r"\S"},
        "expression": {"type": ["string", "number", "boolean"], "minLength": 1, "pattern": r"\S"},
        "id": {"type": "string", "pattern": _ID},
        "level": {"enum": list(LEVELS)},
        "basis": {"enum": list(POLICY_BASES)},
        "final": {"enum": [True, False, "true", "false"]},
        "pack": {"anyOf": [{"enum": _packs()}, {"type": "string", "minLength": 1}]},
        "area or rule": {"type": "string", "pattern": r"^[a-z][a-z0-9-]*(\.[a-z0-9-]+)*$"},
        "event": {"enum": list(EVENTS)},
        "place": {"anyOf": [{"enum": _places()}, {"type": "string", "minLength": 1}]},
        "number": {"enum": _settable()},
        "measured": {"anyOf": [{"enum": _measured()}, {"type": "string", "minLength": 1}]},
        "setting": {"enum": sorted(vocabulary().terms)},
        "stated": {"enum": sorted(stated_types())},
        "unit": {"enum": sorted({*UNITS, *ALIASES})},
        "defined": _defined(),
        "table row": _table_row(),
        "rule": _rule(),
        "requirement": _requirement(),
        "stricter": _mapping(
            {"level": _ref("level", _LEVEL), "when": _expression("where this level holds instead")}, ("level", "when")
        ),
        "correction": _correction(),
        "case": _case(),
        "documents": _documents(),
        "fixed": _row_of(
            {"setting": _ref("setting", "the setting"), "to": _expression("its value, as a document would state it")}
        ),
        "limit": _row_of(
            {
                "of": _ref("measured", "the term that is limited"),
                "allow": _text("LOW to HIGH, up to HIGH, or at least LOW, with the unit"),
            }
        ),
        "demand": _row_of(
            {
                "terms": {
                    **_list({"$ref": "#/$defs/stated"}, "what must be stated; alarms must not be off either"),
                    "minItems": 1,
                }
            }
        ),
        "adjusted": {"oneOf": [_adjusted_rule(), _adjusted_term()]},
        **profile_definitions(),
    }


def _packs() -> list[str]:
    return sorted(path.stem for path in data_folder("rules").glob("*.yaml"))


def _places() -> list[str]:
    words = vocabulary()
    return sorted({*base_names().spellings(), *words.terms, *(f"section {name}" for name in words.sections)})


def _measured() -> list[str]:
    return sorted(key for key, kind in base_names().types.items() if isinstance(kind, NumberType))


def _settable() -> list[str]:
    return [key for key in _measured() if key in vocabulary().terms]


def _defined() -> Schema:
    keys = {
        "as": _expression("what the term is"),
        "rows": {
            **_list({"$ref": "#/$defs/table row"}, "a table: the first row that applies gives the value"),
            "minItems": 1,
        },
        "means": _text("what the term is, in words"),
        "source": _text(_SOURCE),
        "unit": _ref("unit", "the unit to tell it in; without it, the usual one"),
    }
    return {**_mapping(keys, ("means", "source")), **_any_of_keys(("as", "rows"))}


def _table_row() -> Schema:
    keys = {
        "when": _expression("where this row applies"),
        "is": _expression("the value there"),
        "otherwise": _expression("the value where no row above applies; the last row"),
        "source": _text(_SOURCE),
    }
    return {**_mapping(keys), "anyOf": [{"required": ["when", "is"]}, {"required": ["otherwise"]}]}


def _said() -> dict[str, Schema]:
    """The keys of a rule that each of its requirements may have of its own."""
    corrections = _list(
        {"$ref": "#/$defs/correction"}, "changes that would restore the rule: all offered, none applied"
    )
    return {
        "when": _expression(_CONDITION),
        "require": _expression("what must be true"),
        "at": _one_or_more(_ref("place", "a term, or `section NAME`"), "the terms at whose lines the finding stands"),
        "say": _text("the message, with values in braces: {EXPRESSION} or {EXPRESSION in UNIT}"),
        "makes": _one_or_more(_ref("place", "a term"), "terms whose value is told for each correction"),
        "corrections": corrections,
    }


def _rule() -> Schema:
    rule = {"$ref": "#/$defs/id"}
    keys: dict[str, Schema] = {
        "id": _ref("id", "the pack's name, a point, and a name of its own; part of the interface, so keep it"),
        "level": _ref("level", _LEVEL),
        "stricter": _list({"$ref": "#/$defs/stricter"}, "levels that hold instead where a condition is true"),
        "basis": _ref(
            "basis", "how the rule is known; practice and memory may not reject; policy stands in a policy alone"
        ),
        "title": _text("what the rule finds, in one line"),
        "each": _list({"$ref": "#/$defs/requirement"}, "in place of require: several requirements under one id"),
        "asked of": {"enum": ["all that is allowed", "values as set"], "description": "what the rule is asked of"},
        "level where allowed": _ref(
            "level", "its level where it is met as set, and only something else that is allowed breaks it"
        ),
        "found by": _one_or_more({"$ref": "#/$defs/event"}, "in place of require: events that the rule tells"),
        "because": _text("why it matters, for somebody who is tired"),
        "source": _text(_SOURCE),
        "yields to": _one_or_more(rule, "rules that say it better: where one of them speaks, this one is silent"),
        "cases": _list({"$ref": "#/$defs/case"}, "examples; they are the rule's tests"),
        **_said(),
    }
    return {
        **_mapping(keys, ("id", "level", "basis", "title", "because", "source", "cases")),
        "oneOf": [{"required": [key]} for key in ("require", "each", "found by")],
        "anyOf": [{"required": ["say"]}, {"required": ["each"]}],
    }


def _requirement() -> Schema:
    return _mapping(_said(), ("require",))


def _correction() -> Schema:
    keys = {"set": _ref("number", "the term to set"), "to": _expression("the value that it would have")}
    return _mapping(keys, ("set", "to"))


def _documents() -> Schema:
    """The facts of a case that are more than a line."""
    whole = _mapping({"text": _text("a whole document")}, ("text",))
    several = {
        "type": "object",
        "minProperties": 1,
        "additionalProperties": {"$ref": "#/$defs/text"},
        "description": "the documents of a library by name, the one to judge first",
    }
    library = _mapping({"library": several}, ("library",))
    revisions = {
        "old": _text("what it was: a line of facts, or a whole document"),
        "new": _text("what it became: a line of facts, or a whole document"),
    }
    pair = _mapping(
        {"pair": {**_mapping(revisions, ("old", "new")), "description": "a document before and after a change"}},
        ("pair",),
    )
    return {"oneOf": [whole, library, pair]}


def _case() -> Schema:
    facts = {"anyOf": [{"$ref": "#/$defs/text"}, {"$ref": "#/$defs/documents"}]}
    told = {
        "fires": "this rule, and no other of its pack, gives a finding",
        "holds": "the rule applies, and is met",
        "silent": "no finding: it does not apply, or can't be checked",
    }
    keys = {
        kind: {**facts, "description": f"{text}; facts separated by `;`, text:, library:, or pair:"}
        for kind, text in told.items()
    }
    return {**_mapping(keys), "minProperties": 1, "maxProperties": 1}


def _row_of(keys: Mapping[str, Schema]) -> Schema:
    """A row of a policy."""
    common = {
        "id": _ref("id", _ROW),
        "level": _ref("level", _LEVEL),
        "when": _expression(_CONDITION),
        "source": _text("where the site has decided so"),
        "because": _text("why it matters; without it, that the site decides so"),
        "final": _ref("final", "true: no nearer policy may replace the row"),
        "cases": _list({"$ref": "#/$defs/case"}, "examples of this row; other rows may speak on them too"),
    }
    return _mapping({**common, **keys}, ("id", "level", "source", *keys))


def _adjusted_rule() -> Schema:
    keys = {
        "rule": _ref("id", "the id of a rule of a used pack"),
        "level": _ref("level", _LEVEL),
        "because": _text("why its level is another one here"),
        "final": _ref("final", "true: no nearer policy may change it again"),
    }
    return _mapping(keys, ("rule", "level", "because"))


def _adjusted_term() -> Schema:
    keys = {
        "term": _text("a term that a used pack defines"),
        "of": _ref("pack", "the pack that defines it"),
        "to": _expression("what it is here"),
        "because": _text("why it is something else here"),
        "final": _ref("final", "true: no nearer policy may change it again"),
    }
    return _mapping(keys, ("term", "of", "to", "because"))


def main(arguments: Sequence[str]) -> int:
    """Brings the schemas up to date (`--write`), or says that they are not (exit code 1)."""
    status = 0
    for name, fresh in ((NAME, text_of_schema()), (PROFILES, text_of_profile_schema())):
        path = data_folder("rules") / name
        if path.is_file() and path.read_text(encoding="utf-8") == fresh:
            continue
        if "--write" in arguments:
            path.write_text(fresh, encoding="utf-8")
            continue
        print(f"{path} is out of date: run python -m rxlint.packs.schema --write", file=sys.stderr)
        status = 1
    return status


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""The schema of a document's JSON (JSON Schema, draft 2020-12), made of the shapes that read and write it.

``python -m rxlint.exchange.schema --write`` renews ``document.schema.json``; a test holds it fresh. That a line would
be read as what its JSON says is beyond a schema: the import checks it.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from rxlint.exchange.amounts import AMOUNT, KEY, VALUE
from rxlint.exchange.draft_json import COMMENT, KINDS, LINES, SCHEMA, section_names
from rxlint.exchange.forms import CONDITION, FORMS, HEADING, MEASURE
from rxlint.exchange.shapes import Schema
from rxlint.units import UNITS

FILE: Final = Path(__file__).with_name("document.schema.json")


def schema_of_documents() -> Schema:
    """The whole schema."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Document of rxlint",
        "description": "A ventilation prescription, a template or a file of readings, by what it states. Numbers are "
        "texts, as they were written.",
        "type": "object",
        "properties": {
            "schema": {"const": SCHEMA},
            "tool": {
                "type": "object",
                "description": "The program that wrote it; not read back.",
                "properties": {"name": {"type": "string"}, "version": {"type": "string"}},
            },
            "kind": {"enum": [*KINDS, None], "description": "null where no heading of a document could be read"},
            "before": {**_array("item"), "description": "what stands above the first heading"},
            "sections": _array("section"),
        },
        "required": ["schema", "kind", "sections"],
        "additionalProperties": False,
        "$defs": _definitions(),
    }


def _definitions() -> dict[str, Schema]:
    shared = {each.name: each.shape.schema() for each in (AMOUNT, VALUE, KEY, MEASURE, CONDITION)}
    return {
        **shared,
        "unit": {"enum": list(UNITS), "description": "the standard symbol of a unit"},
        "comment": COMMENT.schema() | {"description": "a comment, from its # on"},
        "written": LINES.schema()
        | {"description": "lines as they were written, where their hazards would not survive in canonical text"},
        "unreadable": {
            "type": "object",
            "description": "Lines that can't be read, without their indentation. What they state is not known.",
            "properties": {
                "lines": LINES.schema(),
                "at_margin": {"type": "boolean", "description": "whether they are not indented"},
                "line": {"type": "integer", "minimum": 1, "description": "where they stood; not read back"},
            },
            "required": ["lines"],
            "additionalProperties": False,
        },
        "section": _section_schema(),
        "item": {
            "oneOf": [_only("comment"), _unreadable_schema(), *(_detail_schema(name) for name in FORMS)],
        },
        "row": {"oneOf": [_only("comment"), _only("unreadable"), _row_schema()]},
    }


def _ref(name: str) -> Schema:
    return {"$ref": f"#/$defs/{name}"}


def _array(name: str) -> Schema:
    return {"type": "array", "items": _ref(name)}


def _object(members: dict[str, Schema], required: list[str], about: str = "") -> Schema:
    told: Schema = {"description": about} if about else {}
    return {"type": "object", **told, "properties": members, "required": required, "additionalProperties": False}


def _only(name: str) -> Schema:
    return _object({name: _ref(name)}, [name])


def _unreadable_schema() -> Schema:
    return _object({"unreadable": _ref("unreadable"), "rows": _array("row")}, ["unreadable"])


def _row_schema() -> Schema:
    members = {name: _ref(name) for name in ("key", "measure", "comment", "written")}
    return _object(members, ["key", "measure"], "A row of a table: for which key which value holds.")


def _detail_schema(name: str) -> Schema:
    form = FORMS[name]
    term = {"type": "string", "description": "the term; a bare list and a time off the ventilator have none"}
    members: dict[str, Any] = {"term": term, name: form.shape.schema()}
    if name == "by":
        members["rows"] = _array("row")
    members |= {"comment": _ref("comment"), "written": _ref("written")}
    return _object(members, [name, "rows"] if name == "by" else [name], form.about)


def _section_schema() -> Schema:
    told = {
        field.name: field.shape.schema() | ({"description": field.about} if field.about else {}) for field in HEADING
    }
    members: dict[str, Schema] = {
        "section": {"enum": [*section_names(), None], "description": "null where the heading does not tell"},
        **told,
        "comments": {**_array("comment"), "description": "right above the heading"},
        "comment": _ref("comment"),
        "written": _ref("written"),
        "unreadable": _ref("unreadable"),
        "statements": _array("item"),
    }
    return _object(members, ["section"])


def text_of_schema() -> str:
    """The schema as its file holds it."""
    return json.dumps(schema_of_documents(), indent=2, ensure_ascii=False) + "\n"


def main(arguments: Sequence[str]) -> int:
    """Brings the schema up to date (`--write`), or says that it is not (exit code 1)."""
    if FILE.is_file() and FILE.read_text(encoding="utf-8") == text_of_schema():
        return 0
    if "--write" in arguments:
        FILE.write_text(text_of_schema(), encoding="utf-8")
        return 0
    print(f"{FILE} is out of date: run python -m rxlint.exchange.schema --write", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

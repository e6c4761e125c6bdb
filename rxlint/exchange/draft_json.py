"""What a document states as JSON, and back. Its schema is told by ``schema``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from rxlint import __version__
from rxlint.exchange.amounts import KEY
from rxlint.exchange.draft import (
    Comment,
    Detail,
    Draft,
    DraftSection,
    Item,
    RowItem,
    RowLine,
    Unreadable,
    term_of,
)
from rxlint.exchange.forms import FORMS, HEADING, MEASURE, form_of, with_reference
from rxlint.exchange.shapes import Fault, Json, Many, Path, Text, members_of, wrong
from rxlint.notation import nodes as n
from rxlint.text import MAX_BYTES
from rxlint.vocabulary import vocabulary

SCHEMA: Final = "rxlint-document-1"
KINDS: Final = ("prescription", "template", "readings")
COMMENT: Final = Text("a comment that begins with #", "#.*", MAX_BYTES)
LINES: Final = Many(Text("a line as it was written", longest=MAX_BYTES))
_TOP: Final = ("schema", "tool", "kind", "before", "sections")
_SECTION: Final = ("section", "comments", "comment", "written", "unreadable", "statements")
_UNREADABLE: Final = ("lines", "at_margin", "line")


def section_names() -> tuple[str, ...]:
    """Everything that a heading can begin with."""
    own = tuple(name for name in vocabulary().sections if name != "head")
    return ("prescription", "template", *own, "readings for", "checked")


# ---- to JSON


def object_of(draft: Draft) -> dict[str, Json]:
    """The whole document as one JSON object."""
    found: dict[str, Json] = {
        "schema": SCHEMA,
        "tool": {"name": "rxlint", "version": __version__},
        "kind": draft.kind,
    }
    if draft.before:
        found["before"] = [_item(each) for each in draft.before]
    return found | {"sections": [_section(each) for each in draft.sections]}


def _section(section: DraftSection) -> Json:
    found: dict[str, Json] = {"section": section.section}
    heading = section.heading
    if heading is not None:
        for field in HEADING:
            held = getattr(heading, field.of)
            if held is not None:
                found[field.name] = field.shape.write(held)
    if section.comments:
        found["comments"] = [each.text for each in section.comments]
    found |= _beside(section.comment, section.written)
    if section.unreadable is not None:
        found["unreadable"] = _lines(section.unreadable)
    return found | {"statements": [_item(each) for each in section.items]}


def _item(item: Item | RowItem) -> Json:
    match item:
        case Comment():
            return {"comment": item.text}
        case Unreadable():
            rows: dict[str, Json] = {"rows": [_item(each) for each in item.rows]} if item.rows else {}
            return {"unreadable": _lines(item), **rows}
        case RowLine():
            key, measure = KEY.write(item.row.key), MEASURE.write(item.row.measure)
            return {"key": key, "measure": measure, **_beside(item.comment, item.written)}
        case Detail():
            form = form_of(item.body)
            term: dict[str, Json] = {"term": item.phrase} if item.phrase is not None else {}
            table: dict[str, Json] = {"rows": [_item(each) for each in item.rows]} if item.rows else {}
            return {**term, form: FORMS[form].shape.write(item.body), **table, **_beside(item.comment, item.written)}


def _beside(comment: str | None, written: tuple[str, ...]) -> dict[str, Json]:
    found: dict[str, Json] = {}
    if comment is not None:
        found["comment"] = comment
    if written:
        found["written"] = list(written)
    return found


def _lines(lines: Unreadable) -> Json:
    found: dict[str, Json] = {"lines": list(lines.lines)}
    if lines.at_margin:
        found["at_margin"] = True
    return found if lines.line is None else found | {"line": lines.line}


# ---- from JSON


def draft_from(json: Json) -> Draft:
    """The document that a JSON object states. Raises Fault for the first thing in it that can't be read."""
    members = members_of(json, (), _TOP)
    if members.get("schema") != SCHEMA:
        raise Fault(("schema",), f"is not {SCHEMA!r}, so that nobody can tell what the rest means")
    for name in ("kind", "sections"):
        if name not in members:
            raise Fault((), f"{name} is missing")
    kind = members["kind"]
    if kind is not None and (not isinstance(kind, str) or kind not in KINDS):
        raise Fault(("kind",), f"is neither null nor one of {', '.join(KINDS)}")
    before = [_read_item(each, ("before", at), "") for at, each in enumerate(_list(members, "before", ()))]
    sections = [_read_section(each, ("sections", at)) for at, each in enumerate(_list(members, "sections", ()))]
    return Draft(kind, before, sections)


def _list(members: Mapping[str, Json], name: str, at: Path) -> list[Json]:
    found = members.get(name, [])
    if not isinstance(found, list):
        raise wrong((*at, name), found, "a list")
    return found


def _read_section(json: Json, at: Path) -> DraftSection:
    members = members_of(json, at, (*_SECTION, *(field.name for field in HEADING)))
    name = members.get("section")
    if "section" not in members or (name is not None and name not in section_names()):
        raise Fault((*at, "section"), f"is no section; known are {', '.join(section_names())}, and null")
    assert name is None or isinstance(name, str)
    told = {
        field.of: field.shape.read(members[field.name], (*at, field.name)) for field in HEADING if field.name in members
    }
    heading = None
    unreadable = None
    if "unreadable" in members:
        unreadable = _read_lines(members["unreadable"], (*at, "unreadable"))
        if told or {"comment", "written"} & members.keys():
            raise Fault(at, "a heading that can't be read says nothing but its lines")
    elif name is None:
        raise Fault(at, "a section without a name is one whose heading is unreadable")
    else:
        heading = n.Heading(name, 0, 0, **told)
    comments = [
        Comment(COMMENT.read(each, (*at, "comments", i))) for i, each in enumerate(_list(members, "comments", at))
    ]
    comment, written = _read_beside(members, at)
    found = DraftSection(name, heading, comments, comment, written, unreadable)
    statements = _list(members, "statements", at)
    found.items = [_read_item(each, (*at, "statements", index), found.home) for index, each in enumerate(statements)]
    return found


def _read_item(json: Json, at: Path, section: str) -> Item:
    if not isinstance(json, dict):
        raise wrong(at, json, "an object")
    if "unreadable" in json:
        members = members_of(json, at, ("unreadable", "rows"))
        lines = _read_lines(members["unreadable"], (*at, "unreadable"))
        lines.rows = _read_rows(members, at, None, section)
        return lines
    if json.keys() == {"comment"}:
        return Comment(COMMENT.read(json["comment"], (*at, "comment")))
    forms = [name for name in json if name in FORMS]
    if len(forms) != 1:
        told = f"not {', '.join(forms)} together" if forms else f"one of {', '.join(FORMS)}"
        raise Fault(at, f"a statement has one form: {told}")
    members = members_of(json, at, ("term", forms[0], "rows", "comment", "written"))
    phrase = members.get("term")
    if phrase is not None and not isinstance(phrase, str):
        raise wrong((*at, "term"), phrase, "a term")
    term = term_of(section, phrase) if section in vocabulary().sections else None
    if phrase is not None and term is None:
        raise Fault((*at, "term"), f"{phrase!r} is no term of {section or 'what stands outside a section'}")
    body = FORMS[forms[0]].shape.read(members[forms[0]], (*at, forms[0]))
    body = with_reference(body, term) if isinstance(body, n.Measure) else body
    return Detail(phrase, body, _read_rows(members, at, phrase, section), *_read_beside(members, at))


def _read_rows(members: Mapping[str, Json], at: Path, phrase: str | None, section: str) -> list[RowItem]:
    return [
        _read_row(each, (*at, "rows", index), phrase, section) for index, each in enumerate(_list(members, "rows", at))
    ]


def _read_row(json: Json, at: Path, phrase: str | None, section: str) -> RowItem:
    if not isinstance(json, dict):
        raise wrong(at, json, "an object")
    if "unreadable" in json:
        return _read_lines(members_of(json, at, ("unreadable",))["unreadable"], (*at, "unreadable"))
    if json.keys() == {"comment"}:
        return Comment(COMMENT.read(json["comment"], (*at, "comment")))
    members = members_of(json, at, ("key", "measure", "comment", "written"))
    key = KEY.read(members.get("key"), (*at, "key"))
    measure = MEASURE.read(members.get("measure"), (*at, "measure"))
    term = term_of(section, phrase) if section in vocabulary().sections else None
    return RowLine(n.Row(key, with_reference(measure, term)), *_read_beside(members, at))


def _read_beside(members: Mapping[str, Json], at: Path) -> tuple[str | None, tuple[str, ...]]:
    comment = COMMENT.read(members["comment"], (*at, "comment")) if "comment" in members else None
    written = LINES.read(members["written"], (*at, "written")) if "written" in members else ()
    if comment is not None and written:
        raise Fault((*at, "comment"), "lines as they were written hold their comment already")
    return comment, written


def _read_lines(json: Json, at: Path) -> Unreadable:
    members = members_of(json, at, _UNREADABLE)
    margin, line = members.get("at_margin", False), members.get("line")
    if not isinstance(margin, bool):
        raise wrong((*at, "at_margin"), margin, "true or false")
    if line is not None and (not isinstance(line, int) or isinstance(line, bool)):
        raise wrong((*at, "line"), line, "a line's number")
    if "lines" not in members:
        raise Fault(at, "lines is missing")
    return Unreadable(LINES.read(members["lines"], (*at, "lines")), margin, line)

"""A set-up list as one JSON object. The schema stands in ``setup.schema.json``."""

from __future__ import annotations

from typing import Any, Final

from rxlint import __version__
from rxlint.library.setup_list import SetUpList
from rxlint.reports.caution import CAUTION
from rxlint.reports.setup_text import prescribed_line
from rxlint.screening.setup import Line, SetUp
from rxlint.screening.setup_checks import checks_of

SCHEMA: Final = "rxlint-setup-list-1"


def object_of(found: SetUpList, on: str) -> dict[str, Any]:
    """The whole list. Numbers are those that the ventilator shows, as text where they are no numbers."""
    profile = found.profile
    return {
        "schema": SCHEMA,
        "tool": {"name": "rxlint", "version": __version__},
        "on": on,
        "path": found.screened.shown,
        "title": found.document.title,
        "id": found.screened.id,
        "ventilator": {
            "name": profile.name,
            "revision": profile.revision,
            "digest": profile.digest,
            "path": profile.path,
        },
        "can_be_keyed_in": found.can_be_keyed_in,
        "stops": list(found.stops),
        "to_reject": [{"rule": each.rule, "line": each.place.line, "message": each.message} for each in found.rejects],
        "periods": [_sheet(each) for each in found.sheets],
        "caution": CAUTION,
    }


def _sheet(sheet: SetUp) -> dict[str, Any]:
    facts = sheet.facts
    return {
        "period": facts.period,
        "band": facts.band.label if facts.band is not None else None,
        "mode": facts.mode.code if facts.mode is not None else None,
        "lines": [_line(number, line) for number, line in enumerate(sheet.lines, 1)],
        "open": list(sheet.asks),
        "lacking": [{"term": key, "line": prescribed_line(stated)} for key, stated in sheet.lacking],
        "elsewhere": [{"what": what, "value": value} for what, value in sheet.beside],
        "checks": list(checks_of(sheet)),
    }


def _line(number: int, line: Line) -> dict[str, Any]:
    dial = line.dial
    has_number = line.number is not None and line.keyed != ""
    return {
        "order": number,
        "name": line.name,
        "term": line.key,
        "state": line.state,
        "keyed": line.keyed or None,
        "number": float(line.number) if has_number and line.number is not None else None,
        "unit": dial.unit.symbol if dial is not None and has_number else None,
        "above": dial.above if dial is not None and has_number else None,
        "prescribed": line.prescribed,
        "line": prescribed_line(line.stated) if line.stated is not None else None,
        "as_prescribed": line.same,
        "why": line.why or None,
        "choices": list(line.choices),
        "may_be_moved": line.moves or None,
        "anew_with": list(line.follows),
    }

"""Questions of the page as JSON and their answers as JSON: one object each way, and never an exception."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable, Mapping
from typing import Any, Final, NamedTuple

from rxlint.page.desk import Desk
from rxlint.page.files import Refused
from rxlint.page.shapes import Fault
from rxlint.text import printable

OURS: Final = "a fault of this program: "
"""How a fault begins that no user has caused."""

_TEXT: Final = "a text"
_MAYBE: Final = "a text, or left out"
_NUMBER: Final = "a whole number"
_TEXTS: Final = "a list of texts"
_FILES: Final = "a list of files"
_MOST: Final = 2**31  # no text has as many lines or columns


class _Question(NamedTuple):
    """Who answers a question, and what it is given: each name with what it has to be."""

    answer: Callable[..., Any]
    given: Mapping[str, str]


_QUESTIONS: Final[Mapping[str, _Question]] = {
    "day": _Question(Desk.set_day, {"day": _TEXT}),
    "take": _Question(Desk.take, {"files": _FILES}),
    "put": _Question(Desk.put, {"path": _TEXT, "text": _TEXT}),
    "remove": _Question(Desk.remove, {"paths": _TEXTS}),
    "rename": _Question(Desk.rename, {"path": _TEXT, "to": _TEXT}),
    "look": _Question(Desk.look, {"path": _TEXT}),
    "colours": _Question(Desk.colours, {"path": _TEXT}),
    "offers": _Question(Desk.offers, {"path": _TEXT, "line": _NUMBER, "column": _NUMBER}),
    "hover": _Question(Desk.hover, {"path": _TEXT, "line": _NUMBER, "column": _NUMBER}),
    "changes": _Question(Desk.changes, {"path": _TEXT, "line": _NUMBER, "end_line": _NUMBER}),
    "coverage": _Question(Desk.coverage, {"path": _TEXT}),
    "sheet": _Question(Desk.sheet, {"path": _TEXT, "ventilator": _MAYBE, "before": _MAYBE}),
    "ventilators": _Question(Desk.ventilators, {"path": _TEXT}),
    "setup": _Question(Desk.setup, {"path": _TEXT, "ventilator": _MAYBE, "period": _MAYBE}),
    "compare": _Question(Desk.compare, {"old": _TEXT, "new": _TEXT}),
    "report": _Question(Desk.report, {"format": _TEXT}),
    "values": _Question(Desk.values, {"path": _TEXT}),
    "tidy": _Question(Desk.tidy, {"path": _TEXT}),
    "rule": _Question(Desk.rule, {"rule": _TEXT}),
    "settings": _Question(Desk.settings, {}),
    "about": _Question(Desk.about, {}),
}
NAMES: Final = tuple(_QUESTIONS)
"""The questions that there are."""


class Asked:
    """Answers the questions about a desk, one after another."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def answer(self, question: str) -> str:
        """The answer to a question, as JSON: one of ``shapes``, or a fault that says why there is none."""
        try:
            with contextlib.chdir(self.desk.folder):  # files are named as seen from the folder
                return _dumped(self._answer(json.loads(question)))
        except Refused as refused:
            return _fault(str(refused))
        except Exception as error:  # whatever has gone wrong, the page must be able to say so
            return _fault(f"{OURS}{type(error).__name__}: {printable(str(error))}")

    def _answer(self, question: object) -> object:
        if not isinstance(question, dict):
            raise TypeError("a question is an object with `ask`")
        name = question.get("ask")
        asked = _QUESTIONS.get(name) if isinstance(name, str) else None
        if asked is None:
            raise LookupError(f"there is no question {name!r}")
        given = [_checked(name, key, question.get(key), what) for key, what in asked.given.items()]
        return asked.answer(self.desk, *given)


def _checked(name: object, key: str, value: object, what: str) -> object:
    """What is given with a question; "" for a text that may be left out. Raises TypeError where it is nothing of the
    kind.
    """
    if what == _MAYBE and value is None:
        return ""
    if not _is(value, what):
        raise TypeError(f"the question {name!r} wants `{key}` to be {what}")
    return value


def _is(value: object, what: str) -> bool:
    if what in (_TEXT, _MAYBE):
        return isinstance(value, str)
    if what == _NUMBER:
        return isinstance(value, int) and not isinstance(value, bool) and 0 < value < _MOST
    if not isinstance(value, list):
        return False
    if what == _TEXTS:
        return all(isinstance(each, str) for each in value)
    return all(
        isinstance(each, dict) and isinstance(each.get("path"), str) and isinstance(each.get("base64"), str)
        for each in value
    )


def _dumped(answer: object) -> str:
    return json.dumps(answer, ensure_ascii=True, allow_nan=False, separators=(",", ":"))


def _fault(told: str) -> str:
    fault: Fault = {"fault": told}
    return _dumped(fault)

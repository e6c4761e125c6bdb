"""Desks for tests: a new folder, questions put as the page puts them, and examples to take in."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from rxlint.page.asked import Asked
from rxlint.page.desk import Desk
from tests.documents import DAY
from tests.shelf import EXAMPLES

SLIP = "slips/peep-raised-alone.vrx"
SOUND = "sound/TM-0510-adult-tracheostomy-weaning.vrx"
RULES = ("rxlint.yaml", "tarnmoor-policy.yaml", "profiles/fell.yaml", "profiles/holm.yaml")


class Page:
    """What stands in the page's place: it asks, and holds what is answered."""

    def __init__(self, folder: Path) -> None:
        self.asked = Asked(Desk(folder, DAY))
        self.folder = folder.resolve()

    def told(self, name: str, **given: object) -> Any:
        """The answer to a question, whatever it is."""
        return json.loads(self.asked.answer(json.dumps({"ask": name, **given})))

    def ask(self, name: str, **given: object) -> Any:
        """The answer to a question that has one."""
        answer = self.told(name, **given)
        assert not isinstance(answer, dict) or "fault" not in answer, answer
        return answer

    def fault(self, name: str, **given: object) -> str:
        """Why a question has no answer."""
        answer = self.told(name, **given)
        assert list(answer) == ["fault"], answer
        return str(answer["fault"])

    def take(self, *paths: str) -> Any:
        """Take examples in."""
        return self.bring((path, (EXAMPLES / path).read_bytes()) for path in paths)

    def bring(self, files: Iterable[tuple[str, bytes]]) -> Any:
        """Take files in."""
        coded = [{"path": path, "base64": base64.b64encode(data).decode("ascii")} for path, data in files]
        return self.ask("take", files=coded)

    def rules(self, path: str) -> list[str]:
        """The rules that have found something in a document."""
        return [each.get("rule", each["title"]) for each in self.ask("look", path=path)["findings"]]


def text_of(path: str) -> str:
    """The text of an example."""
    return (EXAMPLES / path).read_text("utf-8")


def applied(text: str, edits: list[dict[str, Any]]) -> str:
    """A text after edits, none of which meets another."""
    starts = [0]
    for line in text.split("\n"):
        starts.append(starts[-1] + len(line) + 1)

    def offset(line: int, column: int) -> int:
        return starts[line - 1] + column - 1

    for each in sorted(edits, key=lambda each: (each["at"]["line"], each["at"]["column"]), reverse=True):
        at = each["at"]
        start, end = offset(at["line"], at["column"]), offset(at["end_line"], at["end_column"])
        text = text[:start] + each["text"] + text[end:]
    return text

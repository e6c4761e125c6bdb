"""Files of rules for the tests of an editor's features: examples, spoilt copies, and places marked by a bar."""

from pathlib import Path

from rxlint.editor.shapes import Completion, Mark, Position
from rxlint.editor.yaml_completion import yaml_completions
from rxlint.editor.yaml_files import YamlFile, yaml_marks
from rxlint.packs.pack import Pack
from tests.shelf import EXAMPLES

NETWORK = (EXAMPLES / "policies/network.yaml").read_text("utf-8")
WARD = (EXAMPLES / "policies/ward.yaml").read_text("utf-8")
PROFILE = (EXAMPLES / "profiles/holm.yaml").read_text("utf-8")
PACK = "pack: trial\nrevision: 1\nsummary: what it is about\nuses: [pressure]\n"
RULE = PACK + "rules:\n  - id: trial.one\n    level: query\n"


def file_of(text: str, name: str = "site.yaml", known: tuple[Pack, ...] | None = None) -> YamlFile:
    return YamlFile(Path("/site") / name, text, known)


def spoilt(text: str, old: str, new: str) -> str:
    """A text with one slip in it."""
    assert text.count(old) >= 1, old
    return text.replace(old, new, 1)


def shown(file: YamlFile, mark: Mark) -> str:
    """The text that a mark stands under."""
    place = mark.place
    assert place.line == place.end_line
    return file.places.lines[place.line - 1][place.column - 1 : place.end_column - 1]


def told(text: str, name: str = "site.yaml") -> list[tuple[int, str, str, str]]:
    """The marks of a text: line, level, the text that each stands under, and the first line of what it says."""
    file = file_of(text, name)
    return [(each.place.line, each.level, shown(file, each), each.message.split("\n")[0]) for each in yaml_marks(file)]


def cut(text: str) -> tuple[str, Position]:
    """A text with a bar at the place that is meant; the bar is taken out."""
    before, bar, after = text.partition("|^")
    assert bar, "no place is marked"
    return before + after, Position(before.count("\n") + 1, len(before) - before.rfind("\n"))


def offered(text: str, name: str = "site.yaml", beside: tuple[str, ...] = ()) -> list[Completion]:
    """What may stand at the bar, the likeliest first."""
    whole, position = cut(text)
    return list(yaml_completions(YamlFile(Path("/site") / name, whole, beside=beside), position))


def labels(found: list[Completion]) -> list[str]:
    return [each.label for each in found]

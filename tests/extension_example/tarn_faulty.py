"""Rules that fail, each in its own way: the others go on, and nothing of it looks clean."""

import sys
from collections.abc import Callable, Iterable, Iterator
from typing import Any, Final

from rxlint.extension import PythonFinding, PythonPack, PythonRule, View


class UntellableError(Exception):
    """An error that can't even say what it is."""

    def __str__(self) -> str:
        raise RuntimeError("no words")


def raises(view: View) -> Iterable[PythonFinding]:
    raise RuntimeError(f"lost at {view.document_kind}")


def leaves(_view: View) -> Iterable[PythonFinding]:
    sys.exit(0)


def untellable(_view: View) -> Iterable[PythonFinding]:
    raise UntellableError


def misspells(view: View) -> Iterator[PythonFinding]:
    if view.number("PEP") > 0:
        yield PythonFinding("never told")


def misplaces(_view: View) -> Iterator[PythonFinding]:
    yield PythonFinding("PEEP is stated", at=("PEP",))


def finds_then_raises(_view: View) -> Iterator[PythonFinding]:
    yield PythonFinding("found before it failed", at=("PEEP",))
    raise ValueError("later")


def finds_without_end(_view: View) -> Iterator[PythonFinding]:
    while True:
        yield PythonFinding("again", at=("PEEP",))


def yields_text(_view: View) -> Iterator[Any]:
    yield "PEEP is high"


def gives_nothing_back(_view: View) -> Any:
    return None


def prints(_view: View) -> Iterator[PythonFinding]:
    print("a line that would spoil a report")
    yield PythonFinding("printed \x1b[31m and found", at=("PEEP",))


def finds_nothing(_view: View) -> list[PythonFinding]:
    return []


def answers_wrongly(_view: View) -> Any:
    return "yes"


def _rule(name: str, check: Callable[[View], Any], applies: Callable[[View], bool] | None = None) -> PythonRule:
    return PythonRule(
        id=f"tarn-faulty.{name}",
        level="reject",
        basis="contradiction",
        title=f"A rule that {name.replace('-', ' ')}",
        because="of the tests",
        source="this test",
        cases=(),
        check=check,
        applies=applies,
    )


FAULTS: Final = {
    "raises": raises,
    "leaves": leaves,
    "is-untellable": untellable,
    "misspells": misspells,
    "misplaces": misplaces,
    "finds-then-raises": finds_then_raises,
    "finds-without-end": finds_without_end,
    "yields-text": yields_text,
    "gives-nothing-back": gives_nothing_back,
}

PACK: Final = PythonPack(
    name="tarn-faulty",
    revision=1,
    summary="Rules that fail",
    rules=(
        *(_rule(name, check) for name, check in FAULTS.items()),
        _rule("answers-wrongly", finds_nothing, answers_wrongly),
        _rule("prints", prints),
    ),
)

"""Rules that take an id which a built-in rule has."""

from typing import Final

from rxlint.extension import PythonFinding, PythonPack, PythonRule, View


def check_nothing(_view: View) -> list[PythonFinding]:
    return []


PACK: Final = PythonPack(
    name="pressure",
    revision=1,
    summary="An id that is taken",
    rules=(
        PythonRule(
            id="pressure.reference-missing",
            level="note",
            basis="practice",
            title="An id that is taken",
            because="of the tests",
            source="common practice, no published source",
            cases=(),
            check=check_nothing,
        ),
    ),
)

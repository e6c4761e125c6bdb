"""A screened document without its tree: what every report of a run needs of it, and nothing else.

It is written as JSON and read back, so that a result can be kept, or come from another process.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Final

from rxlint.library.entry import Entry
from rxlint.library.screen import Screened
from rxlint.notation.tree import Place
from rxlint.packs import Origin
from rxlint.packs.stack import PolicyUse
from rxlint.screening.engine import Crash, Screening
from rxlint.screening.finding import OUTCOMES, Acceptance, Coverage, Finding, Related, Row, Suggestion
from rxlint.store.codec import Codec
from rxlint.text import Problem

NOTHING: Final = Coverage(dict.fromkeys(OUTCOMES, 0), ())


@dataclass(frozen=True, slots=True)
class Told:
    """What a run needs to know of an input, as ``Screened`` has it, without its tree.

    ``texts`` are the lines that its findings speak of, by file (None: the document itself) and number; ``settings`` is
    the file that it was screened under, and ``has_periods`` says that it has more than one.
    """

    shown: str
    kind: str | None
    id: str | None
    problems: tuple[Problem, ...]
    screening: Screening | None
    texts: Mapping[tuple[str | None, int], str]
    has_periods: bool = False
    policies: tuple[PolicyUse, ...] = ()
    settings: Path | None = None
    misconfigured: bool = False
    is_beside: bool = False


Result = Screened | Told
"""An input with what became of it, with its tree or without."""


def settings_path(result: Result) -> Path | None:
    """The settings file that an input was screened under."""
    settings = result.settings
    return settings if settings is None or isinstance(settings, Path) else settings.path


def told(screened: Screened) -> Told:
    """A screened document without its tree."""
    screening, lines = screened.screening, screened.texts
    quoted: dict[tuple[str | None, int], str] = {}
    for finding in screening.findings if screening is not None else ():
        for key in ((None, finding.place.line), *((each.place.file, each.place.line) for each in finding.related)):
            if key in lines:
                quoted[key] = lines[key]
    return Told(
        screened.shown,
        screened.kind,
        screened.id,
        screened.problems,
        screening,
        quoted,
        screened.has_periods,
        screened.policies,
        screened.settings.path if screened.settings is not None else None,
        screened.misconfigured,
        screened.beside is not None,
    )


_SHAPES: Final = (
    Told, Screening, Finding, Related, Suggestion, Acceptance, Place, Row, Coverage, Crash, Origin, PolicyUse, Problem,
)  # fmt: skip


@cache
def _codec() -> Codec:
    return Codec(_SHAPES)


def write_told(given: Told) -> str:
    """A document as JSON, without its name, without where its settings stand, and without its coverage."""
    screening = replace(given.screening, coverage=NOTHING) if given.screening is not None else None
    return _dump(_codec().write(replace(given, shown="", settings=None, screening=screening)))


def read_told(text: str, coverage: Coverage, shown: str, settings: Path | None) -> Told:
    """A document as it was written. Raises ValueError, LookupError or TypeError for anything else."""
    found = _codec().read(json.loads(text))
    if not isinstance(found, Told):
        raise TypeError("this is no document")
    screening = replace(found.screening, coverage=coverage) if found.screening is not None else None
    return replace(found, shown=shown, settings=settings, screening=screening)


def write_coverage(coverage: Coverage) -> str:
    """The outcomes of rules as JSON."""
    return _dump(_codec().write(coverage))


@lru_cache(maxsize=64)
def read_coverage(text: str) -> Coverage:
    """The outcomes of rules as they were written. Raises as ``read_told``."""
    found = _codec().read(json.loads(text))
    if not isinstance(found, Coverage):
        raise TypeError("these are no outcomes")
    return found


def whole(result: Result | Entry) -> Result:
    """An input with what was found in it. Raises as ``read_told``, once; from then on it is known."""
    if not isinstance(result, Entry):
        return result
    if result.whole is None:
        coverage = read_coverage(result.common.body)
        result.whole = read_told(unpacked(result.body), coverage, result.shown, result.settings)
    found: Result = result.whole
    return found


def packed(text: str) -> bytes:
    """A document that was written, in few bytes."""
    return zlib.compress(text.encode("ascii"), 1)


def unpacked(data: bytes) -> str:
    """A document that was packed. Raises ValueError for anything else."""
    try:
        return zlib.decompress(data).decode("ascii")
    except zlib.error as error:
        raise ValueError("this is no packed document") from error


def _dump(value: object) -> str:
    return json.dumps(value, ensure_ascii=True, separators=(",", ":"))

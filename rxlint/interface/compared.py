"""Comparing for Python programs: two texts, or two files or folders."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rxlint.interface.options import OptionError, StrPath, bytes_of, day_of, path_of
from rxlint.interface.results import Change, Compared, DerivedChange, Ends, Expected
from rxlint.interface.rules import Rules, rulings_of
from rxlint.library.comparing import CannotCompare, Pair, Version, compare_pairs, pairs_of, parsed
from rxlint.library.comparing import Compared as ComparedPair
from rxlint.screening.change import Change as FoundChange
from rxlint.screening.change_derived import SOURCE, Implied, Predicted
from rxlint.screening.change_derived import Ends as FoundEnds
from rxlint.text import Problem

OLD: Final = "<old>"
NEW: Final = "<new>"


def compare(
    old: str | bytes,
    new: str | bytes,
    *,
    on: datetime.date | None = None,
    path: StrPath | None = None,
    rules: Rules | None = None,
) -> Compared:
    """Tell what changed from one text to another in clinical terms, and what the change left behind.

    ``on`` is the day on which dates are judged (None: today). ``path`` is where the new text stands or is to be saved:
    the settings are those of its folder, where ``rules`` look for them; without a path there are none.

    Raises OptionError for a wrong option, and for nothing that the texts may say.
    """
    before, after, day = bytes_of(old, "old"), bytes_of(new, "new"), day_of(on)
    name = path_of(path) if path is not None else None
    rulings = rulings_of(rules).anew(nearest=name is not None)
    pair = Pair(
        Version(OLD, "", before, None, parsed(before)),
        Version(name or NEW, "", after, Path(name) if name is not None else None, parsed(after)),
    )
    return _public(next(compare_pairs([pair], rulings, day)))


def compare_paths(
    old: StrPath, new: StrPath, *, on: datetime.date | None = None, rules: Rules | None = None
) -> Iterator[Compared]:
    """Compare two files, or every document of two folders that is not the same in both, as the results are asked for.

    ``on`` is the day on which dates are judged (None: today). Raises OptionError, at once, for a wrong option and where
    one of the two is not there, or one is a file and one a folder.
    """
    names, day = (path_of(old, "old"), path_of(new, "new")), day_of(on)
    rulings = rulings_of(rules)
    try:
        pairs = pairs_of(*names)
    except CannotCompare as error:
        raise OptionError(str(error)) from None
    return map(_public, compare_pairs(pairs, rulings, day))


def _public(compared: ComparedPair) -> Compared:
    pair, found = compared.pair, compared.comparison
    version = pair.new or pair.old
    crashes = found.screening.crashes if found is not None else ()
    problems = [Problem(f"{shown}: {each.message}", each.line, each.column) for shown, each in compared.problems]
    return Compared(
        pair.new.shown if pair.new is not None else None,
        pair.old.shown if pair.old is not None else None,
        version.id if version is not None else None,
        compared.status,
        pair.is_renamed,
        found.are_one if found is not None else None,
        (*problems, *(Problem(crash.told) for crash in crashes)),
        tuple(map(_change, found.changes)) if found is not None else (),
        tuple(map(_derived, found.implied)) if found is not None else (),
        tuple(map(_expected, found.predicted)) if found is not None else (),
        found.screening.findings if found is not None else (),
        found.screening.coverage.rules if found is not None else (),
        tuple(each.name for each in compared.policies),
    )


def _change(change: FoundChange) -> Change:
    return Change(
        change.term,
        change.section or None,
        change.kind,
        change.before,
        change.after,
        change.how,
        change.period,
        change.is_order,
        change.old.lines[0].number if change.old is not None else None,
        change.new.lines[0].number if change.new is not None else None,
    )


def _derived(implied: Implied) -> DerivedChange:
    return DerivedChange(
        implied.term,
        implied.unit.symbol,
        _ends(implied, implied.before),
        _ends(implied, implied.after),
        implied.is_changed,
        implied.period,
        implied.band,
    )


def _ends(implied: Implied, ends: FoundEnds | None) -> Ends | None:
    if ends is None:
        return None
    factor = implied.unit.factor
    return Ends(ends.low / factor, ends.high / factor, implied.told(ends) or "")


def _expected(predicted: Predicted) -> Expected:
    factor = predicted.unit.factor
    return Expected(
        predicted.reading,
        predicted.unit.symbol,
        predicted.measured / factor,
        predicted.expected / factor,
        predicted.taken or None,
        predicted.before,
        predicted.after,
        SOURCE,
        predicted.period,
    )

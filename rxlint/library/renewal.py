"""Starts a list of known findings, or takes out of it what is found no more."""

from __future__ import annotations

import contextlib
import datetime
import os
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from rxlint.library.discover import Input, read_bytes
from rxlint.library.known import MAX_BYTES, Known, read_known, relative, shrunk, started, write_known
from rxlint.library.rulings import Rulings
from rxlint.library.screen import screen_under
from rxlint.screening.engine import Screening
from rxlint.text.files import ChangedError, named_file, read_up_to


@dataclass(slots=True)
class Renewal:
    """What became of a list: what to tell, whether it is another one now, and what stood in the way."""

    told: list[str] = field(default_factory=list)
    changed: bool = False
    refused: bool = False
    unread: bool = False


def renew(
    path: Path,
    shown: str,
    inputs: Iterable[Input],
    rulings: Rulings,
    day: datetime.date,
    *,
    start: bool,
    write: bool = True,
) -> Renewal:
    """Start the list at ``path`` (``start``), or shrink it; without ``write`` only say what would become of it."""
    try:
        target = named_file(path)  # its paths start from the folder of the name all the same, as for who reads it
        there = os.path.lexists(target)
    except (OSError, ValueError) as error:
        return _refused(f"{shown} can't be used as a list: {getattr(error, 'strerror', None) or error}")
    if start and there:
        return _refused(f"{shown} is there already, and a list of known findings only ever shrinks")
    if not start and not there:
        return _refused(f"there is no list {shown}; --start writes one")
    before = _bytes_of(target)
    known, problems = read_known(target, shown)
    if known is None:
        return _refused(*map(str, problems))
    result = Renewal()
    screenings = _screened(path.parent, inputs, rulings, day, result)
    after = started(screenings) if start else shrunk(known, screenings, _gone(known, path.parent))
    result.changed = after != known
    if write and (result.changed or start):
        try:
            write_known(target, after, before)
        except (ChangedError, FileExistsError):
            return _refused(f"{shown} was changed meanwhile by somebody else; nothing is written")
        except OSError as error:
            return _refused(f"{shown} can't be written: {error.strerror}")
    result.told.append(_summary(known, after, shown, start))
    return result


def _screened(
    folder: Path, inputs: Iterable[Input], rulings: Rulings, day: datetime.date, result: Renewal
) -> list[tuple[str, Screening]]:
    found: list[tuple[str, Screening]] = []
    for each in inputs:
        name = relative(each.path, folder) if each.path is not None else None
        if each.path is None or each.problem is not None:
            result.told.append(f"{each.shown}: {each.problem.message if each.problem else 'is not there'}")
        elif name is None:
            result.told.append(f"{each.shown}: lies outside the folder of the list, or has a name that can't be listed")
        else:
            ruling, shelf = rulings.of_folder(each.path.parent), rulings.library(each.path, each.searched)
            screened = screen_under(ruling, each.shown, read_bytes(each.path), day, shelf=shelf)
            result.told += [f"{each.shown}: {problem.message}" for problem in screened.problems]
            if screened.screening is not None and not screened.problems and not screened.screening.crashes:
                found.append((name, screened.screening))
                continue
        result.unread = True  # what was not screened keeps its entries, and is not called clean
    return found


def _bytes_of(path: Path) -> bytes | None:
    """What a list holds; None where there is none, or none that can be read, which reading it tells then."""
    with contextlib.suppress(OSError, ValueError):
        read = read_up_to(path, MAX_BYTES)
        return read[0] if read is not None else None
    return None


def _gone(known: Known, folder: Path) -> list[str]:
    return [path for path in known.by_path if not os.path.lexists(folder / path)]


def _summary(before: Known, after: Known, shown: str, start: bool) -> str:
    files = f"{len(after.by_path)} file{'' if len(after.by_path) == 1 else 's'}"
    findings = f"{len(after)} known finding{'' if len(after) == 1 else 's'}"
    gone = "" if start else f"; {len(before) - len(after)} found no more"
    return f"{shown}: {findings} in {files}{gone}"


def _refused(*told: str) -> Renewal:
    return Renewal(list(told), refused=True)

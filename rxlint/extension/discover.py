"""Finds the Python rules that somebody names, and loads them: installed distributions alone, never the current folder.

Loading runs code of the distribution. What goes wrong there is a failure of those rules, told like that of a rule.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from importlib.metadata import EntryPoint, distributions

from rxlint.expressions.problems import near
from rxlint.extension.api import GROUP, PythonPack
from rxlint.extension.convert import pack_of
from rxlint.extension.failures import describe
from rxlint.packs.pack import Pack, PackProblem


@dataclass(frozen=True, slots=True)
class Failure:
    """Python rules that are installed and could not be loaded, and why."""

    name: str
    error: str


@dataclass(frozen=True, slots=True)
class Named:
    """A name that somebody has written, and where: a place in a configuration file, or None for the command line."""

    name: str
    path: str | None = None
    line: int = 0
    column: int = 0


@dataclass(frozen=True, slots=True)
class PythonRules:
    """What the names stand for: packs that can be run, and failures of those that could not be loaded."""

    packs: tuple[Pack, ...] = ()
    failures: tuple[Failure, ...] = ()


@dataclass(frozen=True, slots=True)
class _Found:
    entry: EntryPoint
    distribution: str
    version: str


def load_named(names: Sequence[Named]) -> tuple[PythonRules, tuple[str, ...]]:
    """The rules of some names, each once; and what is wrong with the names, which nothing can be screened under."""
    with _without_current_folder():
        found = list(_installed())
        chosen: list[_Found] = []
        faults: list[str] = []
        for name in {each.name: each for each in reversed(names)}.values():
            fitting = [each for each in found if each.entry.name == name.name]
            if len(fitting) == 1:
                chosen.append(fitting[0])
            else:
                faults.append(_fault(name, fitting, found))
        if faults:
            return PythonRules(), tuple(sorted(faults))
        order = list(dict.fromkeys(each.name for each in names))
        return _loaded(sorted(chosen, key=lambda each: order.index(each.entry.name))), ()


def _fault(name: Named, fitting: Sequence[_Found], found: Sequence[_Found]) -> str:
    if fitting:
        told = f"the Python rules {name.name} are in several distributions: {', '.join(_of(each) for each in fitting)}"
        close: tuple[str, ...] = ()
    else:
        told = f"no Python rules {name.name} are installed"
        close = near(name.name, [each.entry.name for each in found])
    if name.path is not None:
        return str(PackProblem(name.path, name.line, name.column, told, close))
    return told + (f"; did you mean {' or '.join(close)}?" if close else "")


def _of(found: _Found) -> str:
    return f"{found.distribution} {found.version}"


def _installed() -> Iterator[_Found]:
    """Every entry point of the group. A distribution that is installed twice counts where Python would find it."""
    seen: set[str] = set()
    for distribution in distributions():
        name = distribution.metadata["Name"] or ""
        if name in seen:
            continue
        seen.add(name)
        for entry in distribution.entry_points:
            if entry.group == GROUP:
                yield _Found(entry, name, distribution.version)


def _loaded(chosen: Sequence[_Found]) -> PythonRules:
    packs: list[Pack] = []
    failures: list[Failure] = []
    for each in chosen:
        try:
            with redirect_stdout(sys.stderr):  # a report may be going to standard output
                given = each.entry.load()
            if not isinstance(given, PythonPack):
                raise TypeError(f"{each.entry.value} is {type(given).__name__}, not PythonPack")
            packs.append(pack_of(given, f"{each.entry.name} ({_of(each)})"))
        except KeyboardInterrupt:
            raise
        except BaseException as error:  # also SystemExit: a module must not end the run as if all were well
            failures.append(Failure(each.entry.name, f"can't be loaded: {describe(error)}"))
    return PythonRules(tuple(packs), tuple(failures))


@contextmanager
def _without_current_folder() -> Iterator[None]:
    """The path without the current folder: what is screened often lies there, and must not bring code along."""
    here = os.path.realpath(os.getcwd())
    before = list(sys.path)
    sys.path[:] = [each for each in before if each and os.path.realpath(each) != here]
    try:
        yield
    finally:
        sys.path[:] = before

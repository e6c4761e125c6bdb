"""The distributions that rxlint and its extras bring in, as they are installed here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import metadata
from typing import Final

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

PROJECT: Final = "rxlint"
FOR_USERS: Final = ("", "fast", "editor", "sheet", "pdf", "cluster")
"""What users install: rxlint without an extra, and each of its extras; those for tests and development are no part."""

_BY_CLASSIFIER: Final = {
    "BSD License": "BSD",
    "MIT License": "MIT",
    "Apache Software License": "Apache-2.0",
    "ISC License (ISCL)": "ISC",
    "Python Software Foundation License": "PSF-2.0",
    "Mozilla Public License 1.1 (MPL 1.1)": "MPL-1.1",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "GNU General Public License v2 or later (GPLv2+)": "GPL-2.0-or-later",
    "GNU Lesser General Public License v2 or later (LGPLv2+)": "LGPL-2.0-or-later",
}
_BY_NAME: Final = {"MIT License": "MIT", "BSD": "BSD", "BSD License": "BSD", "Apache License 2.0": "Apache-2.0"}


@dataclass(frozen=True, slots=True)
class Distribution:
    """One that is brought in: `licences` are alternatives; `extras` those that bring it, empty for rxlint itself."""

    name: str
    version: str
    licences: tuple[str, ...]
    extras: tuple[str, ...]


def _needed(name: str, extra: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What a distribution needs here, with an extra of its own where one is named."""
    for text in metadata.requires(name) or ():
        requirement = Requirement(text)
        if requirement.marker is None or requirement.marker.evaluate({"extra": extra}):
            yield canonicalize_name(requirement.name), tuple(sorted(requirement.extras))


def brought_by(extra: str) -> frozenset[str]:
    """The names of all that is brought in by an extra of rxlint, and by what it needs in turn."""
    found: set[tuple[str, str]] = set()
    waiting = [(PROJECT, ""), (PROJECT, extra)]
    while waiting:
        name, asked = waiting.pop()
        if (name, asked) in found:
            continue
        found.add((name, asked))
        for needed, extras in _needed(name, asked):
            waiting += [(needed, ""), *((needed, each) for each in extras)]
    return frozenset(name for name, _ in found) - {PROJECT}


def licences_of(name: str) -> tuple[str, ...]:
    """The licences that a distribution states, of which one may choose; empty where it states none that we can read."""
    about = metadata.metadata(name)
    if "License-Expression" in about:
        expression = about["License-Expression"]
        return tuple(part.strip("() ") for part in re.split(r"\s+OR\s+", expression))
    classified = [
        text.rsplit(" :: ", 1)[1]
        for text in about.get_all("Classifier") or ()
        if text.startswith("License :: ") and text != "License :: OSI Approved"
    ]
    if classified:
        return tuple(_BY_CLASSIFIER.get(text, text) for text in classified)
    stated = about["License"].strip() if "License" in about else ""
    return (_BY_NAME.get(stated, stated),) if stated and "\n" not in stated else ()


def distributions() -> tuple[Distribution, ...]:
    """Everything that users may install with rxlint, by name."""
    by_extra = {extra: brought_by(extra) for extra in FOR_USERS}
    names = frozenset[str]().union(*by_extra.values())
    return tuple(
        Distribution(
            name,
            metadata.version(name),
            licences_of(name),
            () if name in by_extra[""] else tuple(extra for extra in FOR_USERS if name in by_extra[extra]),
        )
        for name in sorted(names)
    )

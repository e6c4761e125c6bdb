"""Which licences may come in, and which advisories are known: the facts that the check holds distributions against."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from packaging.version import Version
from ruamel.yaml import YAML

from tests.supply.installed import Distribution

PERMISSIVE: Final = frozenset(
    {
        "Apache-2.0",
        "BSD",  # a distribution that says no more than this; all of them are of two or three clauses
        "BSD-2-Clause",
        "BSD-3-Clause",
        "ISC",
        "MIT",
        "MIT-0",
        "MIT-CMU",
        "PSF-2.0",
    }
)
"""May come in anywhere: they ask for a notice and no more."""

BY_FILE: Final = frozenset({"MPL-1.1", "MPL-2.0"})
"""May come in with an extra: they bind changes of their own files, and we change none."""

ADVISORIES: Final = Path(__file__).with_name("advisories.yaml")


@dataclass(frozen=True, slots=True)
class Advisory:
    """A published weakness: versions from `since` on have it, until `mended`; None where no version mends it."""

    name: str
    identifier: str
    since: str
    mended: str | None

    def holds(self, version: str) -> bool:
        """Whether a version has it."""
        return Version(version) >= Version(self.since) and (
            self.mended is None or Version(version) < Version(self.mended)
        )


def is_accepted(distribution: Distribution) -> bool:
    """Whether one of the licences that it offers may come in where it comes in."""
    allowed = PERMISSIVE | BY_FILE if distribution.extras else PERMISSIVE
    return any(licence in allowed for licence in distribution.licences)


def advisories() -> tuple[Advisory, ...]:
    """Those that advisories.yaml lists."""
    rows: list[dict[str, Any]] = YAML(typ="safe").load(ADVISORIES)["advisories"]
    return tuple(Advisory(row["name"], row["id"], str(row.get("since", "0")), row.get("mended")) for row in rows)


def read_for() -> frozenset[str]:
    """The distributions whose advisories were read."""
    return frozenset(YAML(typ="safe").load(ADVISORIES)["read"]["names"])


def known_against(distribution: Distribution) -> tuple[Advisory, ...]:
    """What is known against the version that is installed."""
    return tuple(each for each in advisories() if each.name == distribution.name and each.holds(distribution.version))

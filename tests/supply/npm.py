"""What npm fetches while the page for a browser is made, by its lock file."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Final

from tests.conftest import ROOT

LOCK: Final = ROOT / "rxlint" / "page" / "web" / "package-lock.json"
ACCEPTED: Final = frozenset({"0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "ISC", "MIT", "MPL-2.0"})
"""May stand in the page or make it; files under MPL-2.0 go in unchanged."""


@dataclass(frozen=True, slots=True)
class Package:
    """A package at its one version. ``digest`` is what npm holds the archive against, whichever registry it is from."""

    name: str
    version: str
    licence: str
    digest: str
    is_for_tests: bool


def packages() -> tuple[Package, ...]:
    """All that the lock file names, but for what other systems than one's own would get instead."""
    entries = json.loads(LOCK.read_text("utf-8"))["packages"]
    return tuple(
        Package(
            path.removeprefix("node_modules/"),
            each["version"],
            each.get("license", ""),
            each.get("integrity", ""),
            each.get("dev", False),
        )
        for path, each in entries.items()
        if path and not each.get("optional", False)
    )

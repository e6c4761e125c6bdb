"""What a one-file run imports: `python -X importtime` read."""

import re
from dataclasses import replace
from typing import Any

from tools import Tool

_LINE = re.compile(r"import time:\s+(\d+) \|\s+(\d+) \|\s+(\S+)")
# What screening a file has no use for: the definition of units, servers and their parts, the sheet and its layout.
UNWANTED = ("pint", "pygls", "lsprotocol", "jinja2", "weasyprint", "rxlint.editor", "rxlint.reports.sheet")
HEAVIEST = 12


def timed(tool: Tool) -> Tool:
    """The same run, with the interpreter told to report every import."""
    python, *rest = tool.command
    return replace(tool, command=(python, "-X", "importtime", *rest))


def read_profile(told: str) -> dict[str, Any]:
    """Milliseconds by module and by distribution, a module's own time without what it imports in turn."""
    own = {name: int(time) / 1000 for time, _, name in _LINE.findall(told)}
    if not own:
        raise ValueError("the interpreter reported no imports")
    packages: dict[str, float] = {}
    for name, milliseconds in own.items():
        top = name.partition(".")[0]
        packages[top] = packages.get(top, 0) + milliseconds

    return {
        "total_ms": sum(own.values()),
        "modules": len(own),
        "heaviest_ms": dict(_heaviest(own)),
        "packages_ms": dict(_heaviest(packages)),
        "unwanted": sorted(name for name in own if is_unwanted(name)),
    }


def is_unwanted(module: str) -> bool:
    return any(module == each or module.startswith(f"{each}.") for each in UNWANTED)


def _heaviest(times: dict[str, float]) -> list[tuple[str, float]]:
    return sorted(times.items(), key=lambda each: -each[1])[:HEAVIEST]

"""Texts that are made to deceive, to stop the program or to take over what shows them."""

from pathlib import Path
from typing import Final

from tests.cli.orders import ON, SLIP, SOUND
from tests.conftest import RunCli

TERMINAL: Final = "\x1b]0;owned\x07\x1b[2J\x9b31m"
"""What sets the title of a terminal, wipes it, and colours what follows."""
ACTS: Final = (
    "\x00\x07\x08\x1b\x7f\x85\x9b"  # control characters, of one byte and of two
    "\u061c\u200e\u200f\u202a\u202e\u2066\u2069"  # turn text round
    "\u00ad\u034f\u115f\u17b4\u180e\u200b\u2060\u2800\u3164\ufe0f\ufeff\uffa0\ufff9\U0001d173\U000e0041\U000e0100"
    "\u2028\u2029"  # end a line for some programs
)
"""Characters that no report may pass on."""


def acting(text: str) -> list[str]:
    """The characters of an output that act on what shows it, or hide."""
    return [f"U+{ord(char):04X}" for char in ACTS if char in text]


def beside_a_slip(folder: Path, run_cli: RunCli, *arguments: str | Path) -> tuple[int, list[str]]:
    """Screen a folder with a sound neighbour that has one slip: the exit code, and the lines that name a place.

    The slip of the neighbour must be told, whatever else lies there.
    """
    (folder / "zz-good.vrx").write_text(SLIP, "utf-8")
    found = run_cli("screen", ".", *ON, *arguments, cwd=folder)
    told = [line for line in found.stdout.splitlines() if not line.startswith("    ")]
    assert any(line.startswith("zz-good.vrx:") and "150ms is written without a space" in line for line in told), told
    assert "Traceback" not in found.output
    return found.exit_code, told


def with_line(old: str, new: str) -> tuple[str, int]:
    """The sound order with something of one line changed, and the number of that line."""
    assert SOUND.count(old) == 1, old
    return SOUND.replace(old, new), SOUND[: SOUND.index(old)].count("\n") + 1

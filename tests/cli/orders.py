"""Orders to screen from the command line, made from a sound one of the examples."""

from typing import Final

from tests.conftest import ROOT

_EXAMPLE: Final = (ROOT / "examples" / "sound" / "TM-0417-tracheostomy-night.vrx").read_text("utf-8")
# it stands alone here, and so follows no template
SOUND: Final = "".join(line for line in _EXAMPLE.splitlines(keepends=True) if "follows" not in line)
ON: Final = ("--on", "2026-11-24")  # the day on which it is sound


def changed(old: str, new: str) -> str:
    """The sound order with one thing changed."""
    assert SOUND.count(old) == 1
    return SOUND.replace(old, new)


def line_of(text: str, start: str) -> int:
    """The number of the line that begins with these words."""
    return next(number for number, line in enumerate(text.split("\n"), 1) if line.strip().startswith(start))


SLIP: Final = changed("rise time             150 ms", "rise time             150ms")
REJECT: Final = changed("  PEEP                  5 cmH2O", "  PEEP                  5")
AT: Final = f"{line_of(SLIP, 'rise time')}:25: query: 150ms is written without a space; write 150 ms"
NOTE: Final = """pack: ward
revision: 1
summary: What a ward notes
rules:
  - id: ward.note
    level: note
    basis: practice
    title: PEEP is worth a note
    require: PEEP < 5 cmH2O
    say: "PEEP is {PEEP}"
    because: a rule of a test
    source: common practice, no published source
    cases: []
"""

"""Exports that are kept of some examples: which, and where."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from rxlint.exchange.exporting import to_fhir, to_json
from rxlint.exchange.fhir import Options
from rxlint.library.screen import parse_bytes, screen_bytes
from rxlint.screening.ruleset import builtin_rules
from tests.conftest import ROOT
from tests.documents import DAY

KEPT: Final = ROOT / "tests" / "cases" / "exchange"
EXAMPLES: Final = ROOT / "examples"
JSON: Final = (
    "sound/TM-0417-tracheostomy-night.vrx",
    "sound/TM-0510-adult-tracheostomy-weaning.vrx",
    "templates/tracheostomy-night.vrx",
    "slips/decimal-comma-in-flow.vrx",
    "slips/height-in-inches.vrx",
    "readings/TM-0508-second-day.vrx",
)
FHIR: Final = (
    "sound/TM-0417-tracheostomy-night.vrx",
    "sound/TM-0505-adolescent-mouthpiece-day-mask-night.vrx",
    "sound/TM-0514-adolescent-tube-spontaneous.vrx",
    "slips/decimal-comma-in-flow.vrx",
)
OPTIONS: Final = Options("pseudonym-0417", "https://templates.example/")


def kept() -> Iterator[tuple[Path, str]]:
    """Each file with the text that belongs into it."""
    for name in JSON:
        found = to_json(parse_bytes((EXAMPLES / name).read_bytes()), name)
        yield KEPT / f"{Path(name).stem}.json", found.text
    for name in FHIR:
        screened = screen_bytes(name, (EXAMPLES / name).read_bytes(), builtin_rules(), DAY)
        found = to_fhir(screened, DAY, OPTIONS, despite_findings=True)
        yield KEPT / f"{Path(name).stem}.fhir.json", found.text

"""A tiny distribution with Python rules, as an installed one would be found."""

from pathlib import Path

from tests.conftest import ROOT

EXAMPLE = ROOT / "tests" / "extension_example"
OFF_STEP = "patient place of care home; PEEP 5.5 cmH2O; inspiratory pressure 20 cmH2O above ambient"


def install(folder: Path, distribution: str, name: str, target: str) -> None:
    """Put a distribution into a folder that names some rules."""
    info = folder / f"{distribution.replace('-', '_')}-1.0.dist-info"
    info.mkdir(parents=True)
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {distribution}\nVersion: 1.0\n", "utf-8")
    (info / "entry_points.txt").write_text(f"[rxlint.rules]\n{name} = {target}\n", "utf-8")

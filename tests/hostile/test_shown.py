"""What is written for pages, comments and tables."""

import re
from pathlib import Path

from tests.cli.orders import ON, SOUND
from tests.conftest import ROOT, RunCli
from tests.hostile.texts import acting

EVIL = "![x](http://outside.example/x) <script>x</script> [y](javascript:y) @team `code` | cell | #1 ~~~ \\`"
WRITERS = re.compile(r"\bcsv\.(writer|DictWriter)\b|to_csv|write_csv|openpyxl|xlsxwriter")


def test_text_of_an_order_is_code_in_a_comment(tmp_path: Path, run_cli: RunCli) -> None:
    for folder, text in (("old", "before"), ("new", EVIL.replace("\\", "\\\\"))):
        (tmp_path / folder).mkdir()
        (old,) = re.findall(r"(?m)^  indication +(\"[^\"]*\")", SOUND)
        changed = SOUND.replace(old, f'"{text}"')
        assert changed != SOUND
        (tmp_path / folder / "a.vrx").write_text(changed, "utf-8")
    found = run_cli("compare", "old", "new", *ON, "--format", "markdown")
    assert found.exit_code in (0, 1)
    (row,) = [line for line in found.stdout.splitlines() if "outside.example" in line]
    cells = re.sub(r"(`+)(?!`).+?(?<!`)\1(?!`)", "", row)  # what is left without the spans of code
    assert not set("<>[]@!") & set(cells), cells
    assert acting(found.stdout) == []


def test_no_table_of_cells_is_written() -> None:
    """A cell that begins with a sign of equality would be a formula for who opens it: there is none to open."""
    sources = sorted((ROOT / "rxlint").rglob("*.py"))
    assert len(sources) > 100
    assert [str(path) for path in sources if WRITERS.search(path.read_text("utf-8"))] == []
    assert WRITERS.search("csv.writer(file)")

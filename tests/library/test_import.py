"""A table of orders: its header, its cells, and that no row is lost, guessed, or written where it does not belong."""

import csv
import io
import tracemalloc
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rxlint.library.screen import Screened, screen_bytes
from rxlint.library.table_document import document_of
from rxlint.library.table_header import Column, read_column, read_header
from rxlint.library.table_import import Import, Table, import_table
from rxlint.library.table_rows import MAX_CELL, Row
from rxlint.packs import Level
from rxlint.screening.ruleset import builtin_rules
from tests.conftest import ROOT
from tests.documents import DAY, document, first_rules

EQUAL = """\
# what row 2 of the example says, as somebody would have written it
prescription "Night support, child"
  notation 1
  id TM-0601
  revision 1
  status draft
  written 2026-11-02 09:30 by "consultant nurse, home ventilation"
  review by 2027-02-01
patient
  age 7 years
  sex female
  height 121 cm
  weight 22.5 kg measured
  indication "congenital myopathy"
  diagnosis neuromuscular
  place of care ward
  hours ventilated 10 h/day
airway
  interface tracheostomy cuffed
  tube size 5.0 mm
  cuff inflated
circuit
  limb single with leak port
  leak port flow 22 L/min at 10 cmH2O
  assembly ventilator, filter, tubing 180 cm, leak port, CO2 adapter 5 mL, HME 12 mL, tracheostomy tube
  oxygen inlet capped
settings
  mode A/C-PC
  PEEP 5 cmH2O
  inspiratory pressure 17 cmH2O above ambient
  rate 20 /min
  inspiratory time 1 s
  trigger flow
alarms
  disconnection after 10 s
  apnoea after 15 s
  low minute volume 2 L/min
  high rate 40 /min
  power loss on
  high inspiratory pressure 30 cmH2O
  low inspiratory pressure 13 cmH2O
  low SpO2 92 %
targets
  SpO2 94 to 98 %
  expired tidal volume 6 to 8 mL/kg of measured weight
monitoring
  pulse oximeter, capnograph
equipment
  self-inflating bag, suction, spare tube same size, spare tube one size smaller
"""


def run(path: Path, folder: Path, *, force: bool = False, **options: bool | str) -> tuple[Import, list[str]]:
    result = Import()
    told = list(import_table(Table(path.name, path, **options), folder, result, force=force))  # type: ignore[arg-type]
    return result, told


def table(folder: Path, *rows: str, name: str = "t.csv") -> Path:
    path = folder / name
    path.write_text("\n".join(rows) + "\n", "utf-8", newline="")
    return path


def screened(path: Path) -> Screened:
    return screen_bytes(path.name, path.read_bytes(), builtin_rules(), DAY)


def found(result: Screened) -> set[tuple[str, Level, str, tuple[str, ...]]]:
    """Findings without their lines, which differ with the layout."""
    assert result.screening is not None
    return {
        (each.rule, each.level, each.message, tuple(each.text for each in each.corrections))
        for each in result.screening.findings
    }


def column(header: str) -> Column:
    read = read_column(header)
    assert isinstance(read, Column), read
    return read


# ---- the header


@pytest.mark.parametrize(
    ("header", "section", "phrase", "unit", "tail"),
    [
        ("id", "head", "id", "", ""),
        ("PEEP [cmH2O]", "settings", "PEEP", "cmH2O", ""),
        ("peep (mbar)", "settings", "PEEP", "mbar", ""),
        ("alarm high rate [/min]", "alarms", "high rate", "/min", ""),
        ("patient age [years]", "patient", "age", "years", ""),
        ("patient resistance (cmH2O/(L/s))", "patient", "resistance", "cmH2O/(L/s)", ""),
        ("patient weight measured [kg]", "patient", "weight", "kg", "measured"),
        ("inspiratory pressure above ambient [cmH2O]", "settings", "inspiratory pressure", "cmH2O", "above ambient"),
        (
            "tidal volume per kg of predicted weight [mL/kg]",
            "settings",
            "tidal volume",
            "mL/kg",
            "of predicted weight",
        ),
        ("leak port flow at 10 cmH2O [L/min]", "circuit", "leak port flow", "L/min", "at 10 cmH2O"),
        ("fallback rate [/min]", "back-up", "rate", "/min", ""),
        ("reading SpO2 [%]", "readings", "SpO2", "%", ""),
        ("interface", "airway", "interface", "", ""),
    ],
)
def test_a_column_is_a_term_with_its_unit(header: str, section: str, phrase: str, unit: str, tail: str) -> None:
    read = column(header)
    assert read.term is not None
    assert (read.section, read.term.phrase, read.unit, read.tail) == (section, phrase, unit, tail)


@pytest.mark.parametrize(
    ("header", "told"),
    [
        ("PEP [cmH2O]", "PEP is no term of the notation; did you mean PEEP?"),
        ("PEEP", "PEEP needs a unit, as in PEEP [cmH2O]"),
        ("PEEP [L/min]", "PEEP is written in L/min"),
        ("PEEP [cmH2]", "cmH2 is no unit; did you mean cmH2O?"),
        ("rate [bpm]", "the unit bpm can be misread; write /min"),
        ("inspiratory pressure [cmH2O]", "does not say whether it is above ambient or above PEEP"),
        ("tidal volume [mL/kg]", "does not say of which weight"),
        ("interface [mm]", "interface has no unit"),
        ("keep", "is a sentence and can't stand in a table"),
        ("", "a column needs a header"),
        ("sep=", "take this line out"),
        ("SEP=;", "take this line out"),
        ("x" * 201, "the header has 201 characters, the limit is 200"),
    ],
)
def test_a_column_that_can_t_be_used_says_why(header: str, told: str) -> None:
    read = read_column(header)
    assert isinstance(read, str) and told in read


def test_two_columns_of_one_term_are_told() -> None:
    _, faults = read_header(["id", "PEEP [cmH2O]", "PEEP [mbar]", "# a", "# a"])
    assert [(fault.column, fault.message) for fault in faults] == [
        (3, "PEEP [mbar] states the same as column 2, PEEP [cmH2O]: keep one of them")
    ]


# ---- what becomes of the rows


def test_the_example_becomes_documents_that_say_what_its_rows_say(tmp_path: Path) -> None:
    result, told = run(ROOT / "examples" / "audit-export.csv", tmp_path)
    assert [line.split(": ", 1)[0] for line in told] == ["audit-export.csv:4:11", "audit-export.csv:5:24"]
    assert (result.rows, result.documents, result.bad, result.blank, result.kept) == (4, 4, 2, 0, 0)
    by_hand = screen_bytes("equal.vrx", EQUAL.encode(), builtin_rules(), DAY)
    imported = screened(tmp_path / "TM-0601.vrx")
    assert found(imported) == found(by_hand) != set()
    assert imported.screening is not None and by_hand.screening is not None
    rows = [(row.rule, row.outcome, row.lacks) for row in imported.screening.coverage.rules]
    assert rows == [(row.rule, row.outcome, row.lacks) for row in by_hand.screening.coverage.rules]


@pytest.mark.parametrize(
    ("header", "cell", "told"),
    [
        ("PEEP [cmH2O]", "1,5", "comma"),
        ("PEEP [cmH2O]", "=5+1", "=5+1"),
        ("PEEP [cmH2O]", "@SUM(A1)", "@SUM"),
        ("PEEP [cmH2O]", "17 cmH2O", "can't stand here"),
        ("PEEP [cmH2O]", "5 # was 6", "5 # was 6"),
        ("PEEP [cmH2O]", "5\n  rate 20", "several lines"),
        ("PEEP [cmH2O]", "5O", "O"),
        ("PEEP [cmH2O]", "\uff15", "U+FF15"),
        ("PEEP [cmH2O]", "5\u200b", "can't be seen"),
        ("PEEP [cmH2O]", "500", "outside anything plausible"),
        ("PEEP [cmH2O]", "by age", "age"),
        ("revision", "2 # and more", "holds a #"),
        ("id", "#TM-1", "holds a #"),
        ("interface", "tracheostomy cufed", "cufed"),
        ("assembly", "ventilator; filter; spaceship", "spaceship"),
        ("monitoring", "pulse oximetre", "pulse oximetre"),
        ("written", "yesterday", "yesterday"),
        ("id", "TM 1", "can't stand here"),
        ("patient indication", "x" * (MAX_CELL + 1), "1,501 characters"),
        ("readings at", "this morning", "is no moment"),
        ("title", "a\nb", "several lines"),
    ],
)
def test_a_bad_cell_is_told_and_its_document_can_t_look_sound(header: str, cell: str, told: str) -> None:
    imported = document_of(Row(2, ("A", cell)), (Column("# x", "comment"), column(header)), "t.csv")
    (bad,) = imported.bad
    assert bad.column == 2 and told in bad.message
    screening = screen_bytes("x.vrx", imported.text.encode(), first_rules(), DAY).screening
    assert screening is not None
    lines = imported.text.split("\n")
    rejected = [lines[each.place.line - 1] for each in screening.findings if each.level == "reject"]
    assert any('"' in line for line in rejected), "the cell's own line is rejected"


CELLS = st.text(max_size=30) | st.sampled_from(["5", "20", "15 to 20", "off", "A/C-PC", '5" #', "5\\", "5 cmH2O"])
HEADERS = ["PEEP [cmH2O]", "mode", "assembly", "patient indication", "id", "title", "# note", "alarm apnoea [s]"]


@given(st.sampled_from(HEADERS), CELLS)
def test_whatever_a_cell_holds_it_fills_one_line_or_is_told(header: str, cell: str) -> None:
    read = column(header)
    imported = document_of(Row(2, (cell,)), (read,), "t.csv")
    back = document(imported.text)
    stated = [each for block in back.blocks for each in block.details if each.text.split()[0] != "notation"]
    unsaid = not cell.strip() or read.kind == "comment" or (read.kind == "title" and not imported.bad)
    assert len(stated) == (0 if unsaid else 1)
    assert back.kind == "prescription"
    if not imported.bad:
        assert all(each.statement is not None and each.statement.readable for each in stated)
    else:
        assert not all(each.statement is not None and each.statement.readable for each in stated)


def test_cells_of_a_ragged_row_are_kept_and_none_is_read(tmp_path: Path) -> None:
    path = table(tmp_path, "id,PEEP [cmH2O],rate [/min]", "TM-1,5", "TM-2,5,20,", "TM-3,5,20,9", "TM-4,6,20")
    result, told = run(path, tmp_path / "out")
    assert [line.split(": ")[0] for line in told] == ["t.csv:2:1", "t.csv:4:1"]
    assert (result.rows, result.documents, result.bad) == (4, 4, 2)
    kept = (tmp_path / "out" / "row-000002.vrx").read_text("utf-8")
    assert '  unread    "TM-1"\n  unread    "5"\n' in kept and "PEEP" not in kept
    assert (tmp_path / "out" / "TM-2.vrx").is_file(), "an empty cell too many is none"


def test_blank_rows_and_empty_cells_state_nothing(tmp_path: Path) -> None:
    result, told = run(table(tmp_path, "id,PEEP [cmH2O]", ",", "TM-1,", "", "TM-2,5"), tmp_path / "out")
    assert (result.rows, result.blank, result.documents, told) == (4, 2, 2, [])
    assert "PEEP" not in (tmp_path / "out" / "TM-1.vrx").read_text("utf-8")


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_the_delimiter_is_found_out(delimiter: str, tmp_path: Path) -> None:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(
        [["id", "assembly", "PEEP [cmH2O]"], ["TM-1", "ventilator; filter", "5"]]
    )
    path = tmp_path / "t.csv"
    path.write_bytes(b"\xef\xbb\xbf" + text.getvalue().encode())
    result, told = run(path, tmp_path / "out")
    assert told == [] and result.documents == 1
    assert "assembly  ventilator, filter" in (tmp_path / "out" / "TM-1.vrx").read_text("utf-8")


def test_a_comma_is_a_decimal_only_where_that_is_said(tmp_path: Path) -> None:
    path = table(tmp_path, "id;inspiratory time [s];I:E", "TM-1;1,5;", "TM-2;1.5;", "TM-3;0,8 to 1,2;1:2,5")
    result, told = run(path, tmp_path / "out", decimal_comma=True)
    assert [line.split(": ")[0] for line in told] == ["t.csv:3:2"] and "has a point" in told[0]
    assert result.documents == 3
    assert "  1.5 s" in (tmp_path / "out" / "TM-1.vrx").read_text("utf-8")
    both = (tmp_path / "out" / "TM-3.vrx").read_text("utf-8")
    assert "0.8 to 1.2 s" in both and "1:2.5" in both
    assert run(path, tmp_path / "other")[0].bad == 2


# ---- where documents go


def test_no_row_overwrites_another_or_leaves_the_folder(tmp_path: Path) -> None:
    ids = ["TM-1", "tm-1", "TM-1", "../../out", "..", "/etc/passwd", "con", "a/b", ""]
    path = table(tmp_path, "id,PEEP [cmH2O]", *(f"{each},5" for each in ids))
    result, told = run(path, tmp_path / "out")
    names = sorted(each.name for each in (tmp_path / "out").iterdir())
    expected = ["TM-1.vrx", "TM-1-3.vrx", "_.._out.vrx", "_con.vrx", "_etc_passwd.vrx", "a_b.vrx"]
    assert names == sorted([*expected, "tm-1-2.vrx", "row-000006.vrx", "row-000010.vrx"])
    assert result.documents == len(ids) and len(told) == 2
    assert sorted(each.name for each in tmp_path.iterdir()) == ["out", "t.csv"]


def test_a_file_that_is_there_is_overwritten_only_on_request(tmp_path: Path) -> None:
    path, out = table(tmp_path, "id,PEEP [cmH2O]", "TM-1,5", "TM-2,5"), tmp_path / "out"
    out.mkdir()
    (out / "TM-1.vrx").write_text("mine")
    (tmp_path / "outside").write_text("mine")
    (out / "TM-2.vrx").symlink_to(tmp_path / "outside")
    result, told = run(path, out)
    assert (result.documents, result.kept, len(told)) == (0, 2, 2)
    assert (out / "TM-1.vrx").read_text() == "mine"
    assert run(path, out, force=True)[0].documents == 2
    assert "TM-1" in (out / "TM-1.vrx").read_text()
    assert (tmp_path / "outside").read_text() == "mine", "a link is replaced, not followed"


# ---- tables that can't be read


@pytest.mark.parametrize(
    ("data", "told", "documents"),
    [
        (b"", "t.csv: the table is empty", 0),
        (b"id,PEEP [cmH2O]\nTM-1,5\nTM-\x00,5\n", "t.csv:3:1: the table is not text: it holds a NUL byte", 0),
        ("id,title\nTM-1,é\n".encode("latin-1"), "t.csv:2:1: the table is not UTF-8 text", 0),
        ("id,title\nTM-1,x\n".encode("utf-16"), "t.csv:1:1: the table is not UTF-8 but UTF-16 text", 0),
        (b'id,title\nTM-1,a\nTM-2,"b\nTM-3,c\n', "t.csv:3:1: from here on cells can't be told apart", 1),
        (b"id,title\nTM-1,a\n" + b"TM-2," + b"x" * 140_000 + b"\n", "t.csv:3:1: from here on cells can't be told", 1),
    ],
)
def test_a_broken_table_is_told_with_its_line(data: bytes, told: str, documents: int, tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes(data)
    result, lines = run(path, tmp_path / "out")
    assert result.unread and result.documents == documents
    assert len(lines) == 1 and lines[0].startswith(told)


def test_a_header_that_can_t_be_used_writes_nothing(tmp_path: Path) -> None:
    result, told = run(table(tmp_path, "id,PEP [cmH2O],colour", "TM-1,5,red"), tmp_path / "out")
    assert result.unusable and [line.split(": ")[0] for line in told] == ["t.csv:1:2", "t.csv:1:3"]
    assert not (tmp_path / "out").exists()


def test_a_long_table_takes_no_more_memory_than_a_short_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rxlint.library.table_import.write_whole", lambda *_, **__: None)

    def peak(rows: int) -> int:
        path = tmp_path / f"{rows}.csv"
        with path.open("w") as file:
            file.write("id,patient indication,PEEP [cmH2O]\n")
            file.writelines(f"TM-{number % 500},{'a reason for support ' * 60},5\n" for number in range(rows))
        run(path, tmp_path / "out")  # what is remembered of terms and lines does not count
        tracemalloc.start()
        result = Import()
        for _ in import_table(Table("t", path), tmp_path / "out", result):
            pass
        found = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert result.documents == rows
        return found

    # what grows is what is known of names, some hundred bytes a row; the rows themselves have 1,270 each
    assert peak(2_000) - peak(500) < 1_500 * 500


def test_rows_beyond_the_limit_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rxlint.library.table_rows.MAX_ROWS", 2)
    result, told = run(table(tmp_path, "id,title", "A,x", "B,x", "C,x"), tmp_path / "out")
    assert result.unread and result.documents == 2
    assert told == ["t.csv:4:1: the table has more than 2 rows; those from here on are not read"]

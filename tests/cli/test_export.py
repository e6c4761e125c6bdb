"""`rxlint export` and the import of what it wrote: options, output, exit codes."""

import json
from pathlib import Path

import pytest

from tests.cli.orders import ON, REJECT, SOUND
from tests.conftest import RunCli


@pytest.fixture
def order(tmp_path: Path) -> Path:
    path = tmp_path / "order.vrx"
    path.write_text(SOUND, "utf-8")
    return path


def test_json_goes_out_and_comes_back(order: Path, run_cli: RunCli) -> None:
    out = run_cli("export", "order.vrx", "--to", "json")
    assert (out.exit_code, out.stderr) == (0, "")
    assert json.loads(out.stdout)["kind"] == "prescription"
    assert run_cli("export", "order.vrx", "--to", "json", "-o", "order.json").exit_code == 0
    assert (order.parent / "order.json").read_text("utf-8") == out.stdout
    back = run_cli("import", "order.json", "-o", "made")
    assert back.exit_code == 0 and "nobody has checked it yet" in back.stderr
    (made,) = (order.parent / "made").iterdir()
    again = run_cli("export", made, "--to", "json")
    assert again.stdout == out.stdout


def test_a_file_that_is_there_is_kept(order: Path, run_cli: RunCli) -> None:
    before = order.read_bytes()
    found = run_cli("export", "order.vrx", "--to", "json", "-o", "order.vrx")
    assert found.exit_code == 1 and "--force" in found.stderr and order.read_bytes() == before
    assert run_cli("export", "order.vrx", "--to", "json", "-o", "a.json").exit_code == 0
    kept = run_cli("import", "a.json", "-o", "order.vrx")
    assert kept.exit_code == 1 and "was not overwritten" in kept.stderr and order.read_bytes() == before
    assert run_cli("import", "a.json", "-o", "order.vrx", "--force").exit_code == 0
    assert order.read_bytes() != before
    assert run_cli("screen", "order.vrx", *ON).exit_code == run_cli("screen", "-", *ON, input=before).exit_code


def test_streams(order: Path, run_cli: RunCli) -> None:
    out = run_cli("export", "-", "--to", "json", input=order.read_bytes())
    assert out.exit_code == 0
    back = run_cli("import", "-", "--from", "json", "-o", "-", input=out.stdout)
    assert back.exit_code == 0 and back.stdout.startswith("prescription ")
    fhir = run_cli("export", "-", "--to", "fhir", *ON, input=SOUND)
    assert fhir.exit_code in (0, 1) and "standard input" in fhir.stderr


def test_a_line_that_cannot_be_read_is_carried_and_told(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text('prescription "x"\nsettings\n  PEEP 4-8 cmH2O\n', "utf-8")
    out = run_cli("export", "a.vrx", "--to", "json")
    assert out.exit_code == 1 and "a.vrx:3: this line can't be read" in out.stderr
    back = run_cli("import", "-", "--from", "json", "-o", "b.vrx", input=out.stdout)
    assert back.exit_code == 1 and "PEEP 4-8 cmH2O" in (tmp_path / "b.vrx").read_text("utf-8")


def test_what_cannot_be_imported_is_told_and_nothing_written(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.json").write_text('{"schema": "rxlint-document-1",\n "kind": null, "sections": [1]}', "utf-8")
    found = run_cli("import", "a.json", "-o", "out")
    assert found.exit_code == 3 and not (tmp_path / "out").exists()
    assert found.stderr == "a.json:2:29: $.sections[0]: a number stands where an object belongs\n"
    assert run_cli("import", "none.json", "-o", "out").exit_code == 3
    assert run_cli("import", "a.json", "-o", "out", "--decimal", "comma").exit_code == 2
    (tmp_path / "b.json").mkdir()
    assert run_cli("import", "b.json", "-o", "out").exit_code == 2


def test_fhir_tells_what_became_of_the_order(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text('# c\nprescription "x"\nsettings\n  PEEP 5 cmH2O\n', "utf-8")
    refused = run_cli("export", "a.vrx", "--to", "fhir", *ON)
    assert (refused.exit_code, refused.stdout) == (1, "") and "--despite-findings" in refused.stderr
    found = run_cli("export", "a.vrx", "--to", "fhir", "--despite-findings", "--subject", "p-1", *ON)
    assert found.exit_code == 1
    assert "1 request; of 1 lines 1 are parameters" in found.stderr and "not exported: 1 comment" in found.stderr
    assert "in two" not in found.stderr
    request = json.loads(found.stdout)["entry"][0]["resource"]
    assert request["subject"]["identifier"] == {"value": "p-1"} and request["status"] == "draft"


def test_a_rejected_order_leaves_no_file(tmp_path: Path, run_cli: RunCli) -> None:
    (tmp_path / "a.vrx").write_text(REJECT, "utf-8")
    assert run_cli("export", "a.vrx", "--to", "fhir", "-o", "a.fhir.json", *ON).exit_code == 1
    assert not (tmp_path / "a.fhir.json").exists()


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (("order.vrx",), 2),
        (("order.vrx", "--to", "xml"), 2),
        (("order.vrx", "--to", "json", "--subject", "x"), 2),
        (("order.vrx", "--to", "json", "--despite-findings"), 2),
        (("order.vrx", "--to", "fhir", "--subject", " "), 2),
        ((".", "--to", "json"), 2),
        (("none.vrx", "--to", "json"), 3),
        (("none.vrx", "--to", "fhir"), 3),
        (("order.vrx", "--to", "json", "-o", "no/folder/a.json"), 3),
        (("order.vrx", "--to", "fhir", "--pack", "none.yaml"), 2),
    ],
)
def test_exit_codes(arguments: tuple[str, ...], status: int, order: Path, run_cli: RunCli) -> None:
    assert order.is_file()
    found = run_cli("export", *arguments)
    assert (found.exit_code, found.stdout) == (status, "")
    assert found.stderr


def test_a_line_that_is_told_in_two_places_is_said_to_be(tmp_path: Path, run_cli: RunCli) -> None:
    head = 'prescription "x"\n  written 2026-11-24 09:00 by "registrar"\nsettings\n  PEEP 5 cmH2O\n'
    (tmp_path / "a.vrx").write_text(head, "utf-8")
    found = run_cli("export", "a.vrx", "--to", "fhir", "--despite-findings", *ON)
    assert "of 2 lines 1 are parameters, 1 other elements, 1 in notes (a line may be in two)." in found.stderr

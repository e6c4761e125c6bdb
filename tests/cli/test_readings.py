"""`rxlint screen order.vrx --readings now.vrx`: what is told, in both reports, and what is refused."""

import json
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from tests.cli.orders import ON, SOUND
from tests.conftest import RunCli

NOW = 'readings for TM-0417 revision 3\n\nreadings at 2026-11-24 08:00 by "bedside nurse"\n  SpO2 91 %\n'


# of an order that follows no template, so that nothing beside it is wanted
ORDER = "".join(line for line in SOUND.splitlines(keepends=True) if not line.startswith("  follows"))


@pytest.fixture(autouse=True)
def folder(tmp_path: Path) -> None:
    (tmp_path / "order.vrx").write_text(ORDER, "utf-8")
    (tmp_path / "now.vrx").write_text(NOW, "utf-8")


def test_a_finding_stands_in_the_file_of_readings_and_shows_the_order_s_line(run_cli: RunCli) -> None:
    result = run_cli("screen", *ON, "order.vrx", "--readings", "now.vrx")
    lines = result.stdout.splitlines()
    assert result.exit_code == 1
    assert lines[0].startswith("now.vrx:4:3: query: SpO2 91 % was read, under the alarm limit of 92 %")
    assert lines[1].split() == ["written", "SpO2", "91", "%"]
    assert lines[2].split() == ["line", lines[2].split()[1], "low", "SpO2", "92", "%", "(of", "order.vrx)"]
    assert any(line.startswith("2 documents: 0 to reject, 1 query") for line in lines)


def test_the_json_report_names_the_file_of_each_place(run_cli: RunCli) -> None:
    result = run_cli("screen", *ON, "--format", "json", "order.vrx", "--readings", "now.vrx")
    report = json.loads(result.stdout)
    schema = json.loads(files("rxlint.reports").joinpath("screen.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(report)
    order, readings = report["documents"]
    assert (order["kind"], order["findings"], readings["kind"], readings["path"]) == (
        "prescription",
        [],
        "readings",
        "now.vrx",
    )
    (finding,) = readings["findings"]
    assert (finding["line"], [each["path"] for each in finding["related"]]) == (4, ["order.vrx"])


def test_either_may_come_from_standard_input(run_cli: RunCli) -> None:
    one = run_cli("screen", *ON, "order.vrx", "--readings", "-", input=NOW)
    assert one.stdout.startswith("<standard input>:4:3: query: SpO2 91 %")
    other = run_cli("screen", *ON, "-", "--as", "x.vrx", "--readings", "now.vrx", input=ORDER)
    assert "(of x.vrx)" in other.stdout and other.exit_code == 1


def test_readings_of_another_order_are_rejected(run_cli: RunCli) -> None:
    result = run_cli("screen", *ON, "order.vrx", "--readings", "-", input=NOW.replace("0417", "0418"))
    assert result.exit_code == 1
    assert "<standard input>:1:1: reject: these readings are said to be of TM-0418, and this order is TM-0417" in (
        result.stdout
    )
    assert "SpO2 91 %" not in result.stdout


def test_sound_readings_beside_a_sound_order_are_silent(run_cli: RunCli) -> None:
    result = run_cli("screen", *ON, "order.vrx", "--readings", "-", input=NOW.replace("91", "95"))
    assert (result.exit_code, result.stdout.splitlines()[0][:46]) == (
        0,
        "2 documents: 0 to reject, 0 queries, 0 notes. ",
    )


@pytest.mark.parametrize(
    "arguments",
    [
        ("order.vrx", "now.vrx", "--readings", "now.vrx"),
        (".", "--readings", "now.vrx"),
        ("-", "--readings", "-"),
        ("order.vrx", "--readings", "now.vrx", "--readings", "now.vrx"),
    ],
)
def test_readings_go_with_one_order(arguments: tuple[str, ...], run_cli: RunCli) -> None:
    assert run_cli("screen", *arguments, input="").exit_code == 2


def test_a_file_that_is_no_readings_is_unread(run_cli: RunCli) -> None:
    result = run_cli("screen", *ON, "order.vrx", "--readings", "nowhere.vrx", "--readings", "order.vrx")
    assert result.exit_code == 3 and "nowhere.vrx: unread" in result.stdout
    assert ": unread: holds a prescription" in result.stdout


def test_readings_in_a_folder_of_orders_are_noted(run_cli: RunCli) -> None:
    result = run_cli("screen", *ON, ".")
    assert result.exit_code == 0
    assert "now.vrx:1:1: note: these readings were compared with one another and with no order" in result.stdout


def test_explain_shows_every_set_once(run_cli: RunCli) -> None:
    result = run_cli("screen", *ON, "order.vrx", "--readings", "now.vrx", "--explain", "reading.in-alarm")
    assert result.stdout.count("is broken") == 1 and "readings at line 3 of now.vrx" in result.stdout

"""`rxlint endorse`: who has checked an order, with a code that any later change of what is ordered breaks."""

import errno
import os
import re
from pathlib import Path

import pytest

from rxlint.library import endorsement
from rxlint.library.screen import screen_under
from rxlint.model.content import check_code
from tests.cli import orders
from tests.cli.orders import ON
from tests.conftest import RunCli
from tests.documents import document


def alone(text: str) -> str:
    """The order without the template that it follows, which is in no library here."""
    return re.sub(r"(?m)^  follows .*\n", "", text)


SOUND, SLIP, REJECT = map(alone, (orders.SOUND, orders.SLIP, orders.REJECT))
BY = ("--by", "second checker, ward", "--at", "2026-11-02 17:00")
LINE = 'checked 2026-11-02 17:00 by "second checker, ward" code '
CAUTION = "It is no signature: it does not show forgery"


@pytest.fixture
def order(tmp_path: Path) -> Path:
    path = tmp_path / "order.vrx"
    path.write_text(SOUND, "utf-8")
    return path


def line_for(text: str) -> str:
    return f"{LINE}{check_code(document(text))}"


def test_the_line_is_added_and_the_cautions_are_told(order: Path, run_cli: RunCli) -> None:
    found = run_cli("endorse", "order.vrx", *BY, *ON)
    assert found.exit_code == 0
    assert order.read_text("utf-8") == f"{SOUND}\n{line_for(SOUND)}\n"
    assert found.stdout.splitlines()[0] == f"order.vrx: added: {line_for(SOUND)}"
    assert CAUTION in found.stdout
    assert [each.name for each in order.parent.iterdir()] == ["order.vrx"]
    assert run_cli("screen", "order.vrx", *ON).exit_code == 0


@pytest.mark.parametrize("text", [SOUND.replace("\n", "\r\n"), "\ufeff" + SOUND, SOUND.rstrip("\n"), SOUND + "# end"])
def test_the_rest_stays_as_it_was_to_the_byte(text: str, order: Path, run_cli: RunCli) -> None:
    before = text.encode("utf-8")
    order.write_bytes(before)
    assert run_cli("endorse", "order.vrx", *BY, *ON).exit_code == 0
    after = order.read_bytes()
    assert after.startswith(before)
    end = b"\r\n" if b"\r\n" in before else b"\n"
    line = line_for(SOUND).encode("utf-8")
    assert after[len(before) :] == (end + line + end if before.endswith(b"\n") else end + end + line)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("EtCO2 above 7 kPa", "EtCO2 above 7.5 kPa"),
        ("weight       22.5 kg", "weight       22.6 kg"),
        ("filter, tubing 180 cm", "tubing 180 cm, filter"),
        ("pulse oximeter, capnograph", "pulse oximeter, capnograph, ECG"),
    ],
)
def test_a_later_change_breaks_it(old: str, new: str, order: Path, run_cli: RunCli) -> None:
    run_cli("endorse", "order.vrx", *BY, *ON)
    text = order.read_text("utf-8")
    assert text.count(old) == 1
    order.write_text(text.replace(old, new), "utf-8")
    found = run_cli("screen", "order.vrx", *ON)
    assert found.exit_code == 1
    assert re.findall(r"\[([a-z-]+\.[a-z-]+)\]", found.stdout) == ["governance.code-broken"]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("  rise time             150 ms", "  rise time  0.15 s   # as before"),
        ("cylinder     460 L", "cylinder     460000 mL"),
        ("monitoring\n", "\nmonitoring\n\t# what watches\n"),
        ("  rate                  20 /min\n  inspiratory time      1 s", "  inspiratory time  1 s\n  rate  20 /min"),
    ],
)
def test_another_layout_leaves_it_whole(old: str, new: str, order: Path, run_cli: RunCli) -> None:
    run_cli("endorse", "order.vrx", *BY, *ON)
    text = order.read_text("utf-8")
    assert text.count(old) == 1
    order.write_text(text.replace(old, new), "utf-8")
    assert run_cli("screen", "order.vrx", *ON).exit_code == 0


def test_one_slip_that_leaves_a_line_unread_is_told_once(order: Path, run_cli: RunCli) -> None:
    run_cli("endorse", "order.vrx", *BY, *ON)
    text = order.read_text("utf-8")
    order.write_text(text.replace("  PEEP                  5 cmH2O", "  PEEP                  6"), "utf-8")
    found = run_cli("screen", "order.vrx", *ON, "--coverage")
    assert re.findall(r"\[([a-z-]+\.[a-z-]+)\]", found.stdout) == ["notation.unit-missing"]
    assert re.search(r"not checked +governance\.code-broken +a line of the document can't be read", found.stdout)


def test_readings_beside_it_leave_it_whole(order: Path, run_cli: RunCli) -> None:
    run_cli("endorse", "order.vrx", *BY, *ON)
    sheet = 'readings for TM-0417 revision 3\nreadings at 2026-11-03 08:00 by "nurse"\n  SpO2 96 %\n'
    (order.parent / "sheet.vrx").write_text(sheet, "utf-8")
    assert run_cli("screen", "order.vrx", "--readings", "sheet.vrx", *ON).exit_code == 0
    found = run_cli("endorse", "sheet.vrx", *BY, *ON)
    assert found.exit_code == 1
    assert "is no order or template" in found.stdout


def refused(order: Path, text: str, run_cli: RunCli, *arguments: str, code: int = 1) -> str:
    """What is told where nothing is written."""
    order.write_text(text, "utf-8")
    before = order.read_bytes()
    found = run_cli("endorse", "order.vrx", *ON, *arguments)
    assert found.exit_code == code
    assert order.read_bytes() == before
    assert [each.name for each in order.parent.iterdir() if each.name.startswith(".")] == []
    return found.output


def test_refused_while_a_reject_stands(order: Path, run_cli: RunCli) -> None:
    told = refused(
        order, alone(orders.changed("  PEEP                  5 cmH2O", "  PEEP                  7 cmH2O")), run_cli, *BY
    )
    assert "reject: " in told and "[relation.broken]" in told
    assert told.splitlines()[-1] == "order.vrx: what must not be used as written is not endorsed"


def test_a_query_is_told_and_does_not_stand_in_the_way(order: Path, run_cli: RunCli) -> None:
    order.write_text(SLIP, "utf-8")
    found = run_cli("endorse", "order.vrx", *BY, *ON)
    assert found.exit_code == 0
    assert "1 query still stands: `rxlint screen` tells more" in found.stdout


def test_refused_where_a_line_cannot_be_read(order: Path, run_cli: RunCli) -> None:
    number = next(at for at, line in enumerate(REJECT.split("\n"), 1) if line.startswith("  PEEP"))
    told = refused(order, REJECT, run_cli, *BY)
    assert told == f"order.vrx:{number}: this line can't be read; `rxlint screen` tells why\n"
    readings = f"{SOUND}readings\n  rate twenty\n"
    assert "this line can't be read" in refused(order, readings, run_cli, *BY)
    assert "is no order or template" in refused(order, SOUND.split("\n\n", 1)[1], run_cli, *BY)


@pytest.mark.parametrize("role", ["consultant nurse, home ventilation", " Consultant  nurse, home ventilation"])
def test_refused_for_the_author(role: str, order: Path, run_cli: RunCli) -> None:
    told = refused(order, SOUND, run_cli, "--by", role)
    assert "nobody checks what they wrote themselves" in told


@pytest.mark.parametrize(
    ("role", "why"),
    [
        ("", "is empty"),
        ("  ", "is empty"),
        ("a\nb", "can't be seen"),
        ("a\x1b[31m", "can't be seen"),
        ("a\u202eb", "can't be seen"),
        ("a\u034fb", "can't be seen"),
        ("x" * 2000, "would not be read as it is meant"),
    ],
)
def test_refused_for_a_role_that_is_none(role: str, why: str, order: Path, run_cli: RunCli) -> None:
    told = refused(order, SOUND, run_cli, "--by", role, "--at", "2026-11-02 17:00")
    assert why in told


def test_quotation_marks_in_a_role_are_kept(order: Path, run_cli: RunCli) -> None:
    role = 'the "second" \\ # checker'
    assert run_cli("endorse", "order.vrx", *ON, "--by", role, "--at", "2026-11-02 17:00").exit_code == 0
    heading = document(order.read_text("utf-8")).blocks[-1].heading
    assert heading is not None and heading.by == role


def test_nobody_checks_twice_what_has_not_changed(order: Path, run_cli: RunCli) -> None:
    run_cli("endorse", "order.vrx", *BY, *ON)
    once = order.read_text("utf-8")
    told = refused(order, once, run_cli, *BY)
    assert "second checker, ward has checked it as it stands already" in told
    assert run_cli("endorse", "order.vrx", *ON, "--by", "third checker").exit_code == 0
    assert document(order.read_text("utf-8")).blocks[-2].heading == document(once).blocks[-1].heading


def test_a_broken_check_has_to_go_first(order: Path, run_cli: RunCli) -> None:
    run_cli("endorse", "order.vrx", *BY, *ON)
    text = order.read_text("utf-8").replace("22.5 kg", "22.6 kg")
    told = refused(order, text, run_cli, "--by", "third checker")
    assert "[governance.code-broken]" in told
    order.write_text("\n".join(line for line in text.split("\n") if LINE not in line), "utf-8")
    assert run_cli("endorse", "order.vrx", *BY, *ON).exit_code == 0


def test_a_check_before_the_writing_is_refused(order: Path, run_cli: RunCli) -> None:
    told = refused(order, SOUND, run_cli, "--by", "third checker", "--at", "2026-11-01 17:00")
    assert "[governance.dates-order]" in told


def test_a_policy_counts_as_it_does_in_a_screening(order: Path, run_cli: RunCli) -> None:
    policy = "pack: ward\nrevision: 1\nsummary: a ward's policy\nkind: policy\nlevels:\n"
    (order.parent / "ward.yaml").write_text(policy, "utf-8")
    told = refused(order, SOUND, run_cli, *BY, "--policy", "ward.yaml", code=2)
    assert "ward.yaml:" in told
    (order.parent / "rxlint.yaml").write_text("policies: [nowhere.yaml]\n", "utf-8")
    assert "nowhere.yaml" in refused(order, SOUND, run_cli, *BY, code=2)
    assert run_cli("endorse", "order.vrx", *BY, *ON, "--settings", "none").exit_code == 0


def test_a_site_that_rejects_what_nobody_has_checked_can_have_it_checked(order: Path, run_cli: RunCli) -> None:
    """The order is judged as it will be, with the line."""
    unchecked = SOUND[: SOUND.index("\nchecked ")]
    order.write_text(unchecked, "utf-8")
    assert "[governance.unchecked]" in run_cli("screen", "order.vrx", *ON).stdout
    found = run_cli("endorse", "order.vrx", *BY, *ON)
    assert found.exit_code == 0
    assert "still stand" not in found.stdout


def test_a_dry_run_writes_nothing(order: Path, run_cli: RunCli) -> None:
    found = run_cli("endorse", "order.vrx", *BY, *ON, "--dry-run")
    assert found.exit_code == 0
    assert found.stdout.splitlines()[0] == f"order.vrx: would be added: {line_for(SOUND)}"
    assert order.read_text("utf-8") == SOUND


def test_a_folder_that_cannot_be_written_is_told(order: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch) -> None:
    order.parent.chmod(0o500)
    if os.access(order.parent, os.W_OK):  # whom no permission stops
        closed = PermissionError(errno.EACCES, "Permission denied")

        really = os.open

        def refuse(path: "str | os.PathLike[str]", flags: int, mode: int = 0o777, **more: int) -> int:
            if flags & os.O_CREAT:
                raise closed
            return really(path, flags, mode, **more)

        monkeypatch.setattr(os, "open", refuse)
    try:
        found = run_cli("endorse", "order.vrx", *BY, *ON)
    finally:
        order.parent.chmod(0o700)
    assert found.exit_code == 3
    assert found.stdout == "order.vrx: can't be written: Permission denied\n"
    assert order.read_text("utf-8") == SOUND


def test_a_file_that_somebody_changed_meanwhile_is_left_to_them(
    order: Path, run_cli: RunCli, monkeypatch: pytest.MonkeyPatch
) -> None:
    def slowly(*given: object, **named: object) -> object:
        order.write_text(SOUND + "# a remark\n", "utf-8")
        return screen_under(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(endorsement, "screen_under", slowly)
    found = run_cli("endorse", "order.vrx", *BY, *ON)
    assert found.exit_code == 1
    assert found.stdout == "order.vrx: was changed meanwhile by somebody else; nothing is written\n"
    assert order.read_text("utf-8") == SOUND + "# a remark\n"


@pytest.mark.parametrize(
    ("arguments", "code", "told"),
    [
        (["nowhere.vrx", *BY], 3, "nowhere.vrx: can't be opened: No such file or directory"),
        ([".", *BY], 3, "can't be opened: Is a directory"),
        (["bytes.vrx", *BY], 3, "is not UTF-8 text"),
        (["empty.vrx", *BY], 3, "the file is empty"),
        (["order.vrx"], 2, "--by"),
        (["order.vrx", "--by", "x", "--at", "2026-11-02"], 2, "is not a moment"),
        (["order.vrx", "--by", "x", "--at", "2026-02-30 10:00"], 2, "is not a moment"),
        (["order.vrx", "--by", "x", "--at", "2026-11-02T10:00"], 2, "is not a moment"),
        (["order.vrx", "--by", "x", "--at", "9026-11-02 10:00"], 2, "has not come yet"),
    ],
)
def test_what_cannot_be_endorsed_has_its_exit_code(
    arguments: list[str], code: int, told: str, order: Path, run_cli: RunCli
) -> None:
    (order.parent / "bytes.vrx").write_bytes(b"\xff")
    (order.parent / "empty.vrx").touch()
    found = run_cli("endorse", *arguments, *ON)
    assert found.exit_code == code
    assert told in found.output
    assert order.read_text("utf-8") == SOUND


def test_without_a_moment_it_is_now(order: Path, run_cli: RunCli) -> None:
    run_cli("endorse", "order.vrx", "--by", "third checker", *ON)
    last = order.read_text("utf-8").splitlines()[-1]
    assert re.fullmatch(
        r'checked [0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2} by "third checker" code [0-9a-f]{32}', last
    )


def test_a_template_is_endorsed_too(order: Path, run_cli: RunCli) -> None:
    source = Path(__file__).parents[2] / "examples" / "templates" / "tracheostomy-night.vrx"
    order.write_bytes(source.read_bytes())
    assert run_cli("endorse", "order.vrx", *BY, *ON).exit_code == 0
    assert order.read_bytes().startswith(source.read_bytes())

"""What the Python interface promises: names, shapes, errors, a light start, several threads at once, types."""

import dataclasses
import datetime
import importlib.util
import json
import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

import rxlint
from rxlint import interface
from tests.conftest import ROOT
from tests.interface.examples import CHOSEN, DAY, POLICY, SLIP

PROGRAM = Path(__file__).with_name("program.py")

# What may not go away. More may come.
FIELDS = {
    "Acceptance": "place until because by",
    "Change": "term section kind before after how period is_order old_line new_line",
    "Compared": "path old_path id status is_renamed are_one problems changes derived expected findings rows policies",
    "Derived": "kind id problems values",
    "DerivedChange": "term unit before after is_changed period band",
    "DerivedValue": "term low high unit text formula numbers source means period band readings",
    "Ends": "low high text",
    "Expected": "reading unit measured expected taken before after source period",
    "Finding": "rule level outcome message place related calculation corrections example period band policy "
    "fingerprint acceptance sound also known",
    "Origin": "policy revision path line sets change",
    "Pack": "name revision summary path digest is_policy rules",
    "Parsed": "kind id title problems statements",
    "Place": "line column end_line end_column file",
    "Problem": "message line column",
    "Quantity": "kind numbers unit reference basis allowed",
    "Related": "place message",
    "Row": "rule outcome lacks reasons period band policy",
    "Rule": "id pack level basis title because source",
    "Screened": "path kind id problems findings rows policies",
    "Statement": "kind section period term value quantity written place is_read",
    "Suggestion": "text makes place replacement is_reading",
}
FUNCTIONS = {"screen_text", "screen_paths", "parse", "derive", "compare", "compare_paths", "rule_packs"}


def test_the_names_are_those_that_are_promised() -> None:
    assert set(interface.__all__) == {*FIELDS, *FUNCTIONS, "Rules", "OptionError", "Level", "Outcome"}
    assert set(rxlint.__all__) == {*interface.__all__, "__version__"}
    assert set(rxlint.__all__) <= set(dir(rxlint))
    for name in interface.__all__:
        assert getattr(rxlint, name) is getattr(interface, name)
    with pytest.raises(AttributeError, match="no attribute 'screen_txt'"):
        getattr(rxlint, "screen_txt")  # noqa: B009 - a checker of types would refuse the plain spelling


@pytest.mark.parametrize("name", FIELDS)
def test_results_are_frozen_and_have_what_is_promised(name: str) -> None:
    shape: Any = getattr(interface, name)
    assert dataclasses.is_dataclass(shape)
    assert set(FIELDS[name].split()) <= {each.name for each in dataclasses.fields(shape)}
    made: Any = shape
    assert made.__dataclass_params__.frozen and made.__slots__
    assert shape.__doc__ and not shape.__doc__.startswith(f"{name}("), "say what it means"


def results() -> list[Any]:
    """A result of every function, from documents that have something of everything."""
    text = SLIP.read_text("utf-8")
    found: list[Any] = [rxlint.screen_text(path.read_bytes(), on=DAY) for path in CHOSEN]
    found += [rxlint.parse(text), rxlint.derive(text), rxlint.compare(text.replace("7 cmH2O", "6 cmH2O"), text, on=DAY)]
    return [*found, rxlint.rule_packs()[0]]


def test_results_go_to_another_process_and_come_back_the_same() -> None:
    found = results()
    assert pickle.loads(pickle.dumps(found)) == found


def test_rules_say_what_they_are() -> None:
    packs = rxlint.rule_packs()
    rules = [rule for pack in packs for rule in pack.rules]
    assert len({rule.id for rule in rules}) == len(rules) > 200
    for pack in packs:
        assert pack.name and pack.summary and pack.digest and not pack.is_policy
    assert all(rule.title and rule.because and rule.source for rule in rules)
    assert {rule.level for rule in rules if rule.basis in ("practice", "memory")} <= {"query", "note"}


# ---- errors

WRONG: dict[str, tuple[Callable[[Any], object], Any, str]] = {
    "a day as text": (lambda day: rxlint.screen_text("", on=day), "2026-11-24", "on is a datetime.date, not str"),
    "a moment": (lambda day: rxlint.screen_paths("x", on=day), datetime.datetime(2026, 11, 24), "not datetime"),
    "a path for a text": (rxlint.parse, SLIP, "read the file first: path.read_bytes()"),
    "no text": (rxlint.derive, None, "text is what a document says, as str or bytes, not NoneType"),
    "no old text": (lambda text: rxlint.compare(text, ""), 3, "old is what a document says"),
    "bytes for paths": (rxlint.screen_paths, b"x", "paths are paths, as str or pathlib.Path, not bytes"),
    "a number for paths": (rxlint.screen_paths, 3, "not int"),
    "a number among paths": (rxlint.screen_paths, ["x", 3], "paths must be a str or a pathlib.Path, not int"),
    "an empty path": (rxlint.screen_paths, [""], "an empty name names no file"),
    "no rules": (lambda rules: rxlint.screen_text("", on=DAY, rules=rules), "x", "rules is an rxlint.Rules, not str"),
    "unknown settings": (lambda told: rxlint.Rules(settings=told), "near", "'nearest' or 'none', not 'near'"),
    "an absent pack": (lambda path: rxlint.Rules(packs=path), "absent.yaml", "a rule pack can't be used:\nabsent.yaml"),
    "no pack": (lambda path: rxlint.Rules(packs=[path]), SLIP, "a rule pack can't be used"),
    "a policy as a pack": (lambda path: rxlint.Rules(packs=path), POLICY, "is a policy: name it as one"),
    "no policy": (lambda path: rxlint.Rules(policies=path), SLIP, "a policy can't be used"),
    "no profile": (lambda path: rxlint.Rules(profiles=path), POLICY, "a ventilator profile can't be used"),
    "no level": (
        lambda level: rxlint.screen_text("", on=DAY).fails(level),
        "error",
        "reject, query, note, not 'error'",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_option_is_told_at_once(name: str) -> None:
    call, given, told = WRONG[name]
    with pytest.raises(rxlint.OptionError) as error:
        call(given)
    assert told in str(error.value)
    assert error.value.__cause__ is None
    assert issubclass(rxlint.OptionError, ValueError)


# ---- threads


def test_several_threads_find_what_one_finds(tmp_path: Path) -> None:
    texts = [path.read_text("utf-8") for path in CHOSEN[:4]]
    (tmp_path / "rxlint.yaml").write_text("policies: [policy.yaml]\n", "utf-8")
    (tmp_path / "policy.yaml").write_bytes(POLICY.read_bytes())
    rules = rxlint.Rules(policies=POLICY)
    jobs: list[Callable[[], object]] = [lambda: rxlint.derive(texts[0]), rxlint.rule_packs]
    for text in texts:
        jobs += [
            partial(rxlint.screen_text, text, on=DAY, rules=rules),
            partial(rxlint.parse, text),
            partial(rxlint.compare, texts[0], text, on=DAY, rules=rules),
        ]
    jobs += [partial(rxlint.screen_text, text, on=DAY, path=tmp_path / "x.vrx") for text in texts[:2]]
    wanted = [job() for job in jobs]
    switching = sys.getswitchinterval()
    sys.setswitchinterval(1e-3)  # threads change over in the middle of everything
    try:
        with ThreadPoolExecutor(4) as pool:
            found = list(pool.map(lambda job: job(), jobs))
    finally:
        sys.setswitchinterval(switching)
    assert found == wanted


def start_together(calls: list[Callable[[], object]]) -> list[object]:
    """What calls give that are made at the same moment, each in a thread of its own."""
    start = threading.Barrier(len(calls))
    found: dict[int, object] = {}

    def run(at: int) -> None:
        start.wait()
        found[at] = calls[at]()

    threads = [threading.Thread(target=run, args=(at,)) for at in range(len(calls))]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    return [found[at] for at in range(len(calls))]


FIRST = """
import json, sys, datetime
import rxlint
light = sorted(name for name in sys.modules if name.split(".")[0] in ("rxlint", "lark", "ruamel", "click", "pint"))
from rxlint import screen_text
from rxlint.screening import ruleset
from tests.interface.test_promises import start_together
prepare, made = ruleset.prepare, []
ruleset.prepare = lambda packs: made.append(1) or prepare(packs)
sys.setswitchinterval(1e-3)
text, day = open(sys.argv[1], encoding="utf-8").read(), datetime.date(2026, 11, 24)
calls = [lambda: rxlint.derive(text).values, lambda: screen_text(text, on=day).findings] * 2
found = start_together(calls)
alone = [call() for call in calls[:2]]
same = all(each == alone[at % 2] for at, each in enumerate(found))
print(json.dumps([light, same, len(made), len(alone[0]), [each.rule for each in alone[1]]]))
"""


def test_a_fresh_program_starts_light_and_threads_may_come_first() -> None:
    """In a process of its own: nothing is loaded but what is asked for, and the first calls may come together."""
    home = Path(rxlint.__file__).parent.parent
    paths = os.pathsep.join([str(home), str(ROOT)])
    environment = {**os.environ, "PYTHONPATH": paths, "RXLINT_CACHE": "off"}  # the rules are made, not fetched
    command = [sys.executable, "-c", FIRST, str(SLIP)]
    run = subprocess.run(command, env=environment, capture_output=True, text=True, check=False, timeout=300)
    assert run.returncode == 0, run.stderr
    light, same, made, values, rules = json.loads(run.stdout)
    assert light == ["rxlint"]
    assert made == 1, "the rules are made by one thread, and once"
    assert same and values > 10 and rules == ["pressure.supported-breaths-differ"]


# ---- types


def test_the_package_says_that_it_has_types() -> None:
    assert files("rxlint").joinpath("py.typed").is_file()


@pytest.mark.skipif(importlib.util.find_spec("mypy") is None, reason="mypy is of the extra `dev`")
def test_a_user_s_program_is_checked(tmp_path: Path) -> None:
    """As a user would: the program alone, and the package where it is installed."""
    home = Path(rxlint.__file__).parent.parent
    here = {} if home.name == "site-packages" else {"MYPYPATH": str(home)}
    (tmp_path / "program.py").write_bytes(PROGRAM.read_bytes())
    (tmp_path / "wrong.py").write_text("import rxlint\nrxlint.screen_txt('x')\nrxlint.parse(3)\n", "utf-8")
    command = [
        sys.executable,
        "-m",
        "mypy",
        "--strict",
        "--cache-dir",
        str(tmp_path / "cache"),
        "program.py",
        "wrong.py",
    ]
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"} | here
    run = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False)
    assert [line for line in run.stdout.splitlines() if line.startswith("program.py")] == []
    told = [line for line in run.stdout.splitlines() if line.startswith("wrong.py")]
    assert [line.rpartition("[")[2] for line in told] == ["attr-defined]", "arg-type]"], run.stdout


def test_the_user_s_program_runs() -> None:
    from tests.interface.program import main

    assert main(SLIP) == ["line 43: supported breaths reach 19 cmH2O, mandatory breaths 17 cmH2O"]


def test_a_path_that_no_file_can_have_is_refused() -> None:
    for call in (lambda: rxlint.screen_text("", path="a\0b"), lambda: list(rxlint.screen_paths(["a\0b"]))):
        with pytest.raises(rxlint.OptionError, match="null character"):
            call()

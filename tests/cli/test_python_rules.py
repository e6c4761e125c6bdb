"""Python rules from the command line: who may name them, what is reported, and that nothing else brings code along."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from click.testing import Result

from rxlint.data import data_folder
from rxlint.screening.case_text import document_of
from tests.cli.orders import ON, SOUND
from tests.conftest import ROOT, RunCli
from tests.extensions import EXAMPLE, OFF_STEP, install


@pytest.fixture(autouse=True)
def _installed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(EXAMPLE))


@pytest.fixture
def screen(run_cli: RunCli, tmp_path: Path) -> Callable[..., Result]:
    (tmp_path / "off-step.vrx").write_text(document_of(OFF_STEP), "utf-8")
    (tmp_path / "sound.vrx").write_text(SOUND, "utf-8")

    def run(name: str, *arguments: str) -> Result:
        return run_cli("screen", f"{name}.vrx", *ON, *arguments)

    return run


def test_rules_run_where_they_are_named_and_nowhere_else(screen: Callable[..., Result]) -> None:
    assert "tarn.between-steps" not in screen("off-step").stdout
    found = screen("off-step", "--python-rules", "tarn", "--coverage")
    assert found.exit_code == 1
    assert "off-step.vrx:5:3: query: PEEP 5.5 cmH2O can't be set" in found.stdout
    assert "    broken          tarn.between-steps" in found.stdout


def test_a_sound_order_stays_clean(screen: Callable[..., Result]) -> None:
    found = screen("sound", "--python-rules", "tarn")
    assert (found.exit_code, "tarn" in found.stdout) == (0, False)


def test_json_holds_the_rule_and_its_pack(screen: Callable[..., Result]) -> None:
    report = json.loads(screen("off-step", "--python-rules", "tarn", "--format", "json").stdout)
    schema = json.loads((ROOT / "rxlint" / "reports" / "screen.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(report)
    (rule,) = [each for each in report["rules"] if each["pack"] == "tarn"]
    assert (rule["id"], rule["level"], rule["basis"]) == ("tarn.between-steps", "query", "practice")
    (pack,) = [each for each in report["packs"] if each["name"] == "tarn"]
    assert (pack["revision"], pack["path"]) == (1, "tarn (tarn-rules 1.0)")


@pytest.mark.parametrize("form", ["text", "json"])
def test_failures_exit_with_3_and_the_others_findings_stand(screen: Callable[..., Result], form: str) -> None:
    found = screen("off-step", "--python-rules", "tarn-faulty", "--python-rules", "tarn", "--format", form)
    assert found.exit_code == 3
    assert "the rule tarn-faulty.leaves failed and was not checked: SystemExit: 0" in found.stdout
    assert "can't be set on the service's ventilators" in found.stdout
    assert "a line that would spoil a report" not in found.stdout
    assert "a line that would spoil a report" in found.stderr
    assert "\x1b" not in found.stdout
    if form == "json":
        json.loads(found.stdout)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("tarn-unloadable", "can't be loaded: ModuleNotFoundError: No module named 'tarn_missing'"),
        ("tarn-leaving", "can't be loaded: SystemExit: 0"),
        ("tarn-unlike", "can't be loaded: TypeError: tarn_rules:STEPS is tuple, not PythonPack"),
    ],
)
def test_rules_that_can_t_be_loaded_have_failed(
    screen: Callable[..., Result], run_cli: RunCli, name: str, told: str
) -> None:
    found = screen("sound", "--python-rules", name, "--python-rules", "tarn")
    assert found.exit_code == 3
    assert f"sound.vrx: failed: the Python rules {name} were not checked: {told}" in found.stdout
    assert "1 rule failures" in found.stdout
    listed = run_cli("rules", "tarn.between-steps", "--python-rules", name, "--python-rules", "tarn")
    assert (listed.exit_code, told in listed.stderr) == (3, True)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("tarm", "no Python rules tarm are installed; did you mean tarn?"),
        ("nothing-like-it", "no Python rules nothing-like-it are installed\n"),
        ("tarn-clash", "pressure.reference-missing is a rule of rules/pressure.yaml already"),
    ],
)
def test_a_name_that_can_t_be_used_is_a_matter_of_configuration(
    screen: Callable[..., Result], name: str, told: str
) -> None:
    found = screen("sound", "--python-rules", name)
    assert (found.exit_code, found.stdout) == (2, "")
    assert told in found.stderr


def test_a_name_in_two_distributions_is_refused(
    screen: Callable[..., Result], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    install(tmp_path / "site", "other-rules", "tarn", "tarn_rules:PACK")
    monkeypatch.syspath_prepend(str(tmp_path / "site"))
    found = screen("sound", "--python-rules", "tarn")
    assert found.exit_code == 2
    assert "the Python rules tarn are in several distributions: other-rules 1.0, tarn-rules 1.0" in found.stderr


def test_the_page_of_a_rule(run_cli: RunCli) -> None:
    page = run_cli("rules", "tarn.between-steps", "--python-rules", "tarn").stdout
    assert "tarn.between-steps: A setting lies between two steps of the ventilator" in page
    assert "checked by Python: tarn_rules.check_steps\nasked of  the values as set\n" in page
    assert "  fires   patient place of care home; PEEP 5.5 cmH2O" in page
    listed = run_cli("rules", "--python-rules", "tarn").stdout
    assert "  query   tarn.between-steps" in listed


def test_explain_says_that_there_is_no_expression(screen: Callable[..., Result]) -> None:
    found = screen("off-step", "--python-rules", "tarn", "--explain", "tarn.between-steps").stdout
    assert "tarn.between-steps is broken" in found
    assert "checked by Python, tarn_rules.check_steps: it has no expression" in found


def test_a_policy_sets_the_level_of_a_python_rule(screen: Callable[..., Result], tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(
        "pack: site\nrevision: 1\nsummary: x\nuses: [tarn]\n"
        "adjust: [{rule: tarn.between-steps, level: reject, because: the ventilators are all of one kind}]\n"
        "must be checked: [tarn]\n",
        "utf-8",
    )
    found = screen("off-step", "--python-rules", "tarn", "--policy", "site.yaml").stdout
    assert "off-step.vrx:5:3: reject: PEEP 5.5 cmH2O can't be set" in found


# ---- whose word counts


@pytest.fixture
def configure(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], str]:
    """Write the user's configuration; gives its path as faults show it."""
    folder = tmp_path_factory.mktemp("config")
    monkeypatch.setattr("click.get_app_dir", lambda name: str(folder / name))

    def write(text: str) -> str:
        path = folder / "rxlint" / "config.yaml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
        return path.as_posix()

    return write


def test_the_user_s_configuration_names_rules(
    screen: Callable[..., Result], configure: Callable[[str], str], run_cli: RunCli
) -> None:
    configure("# mine\npython rules: [tarn]\n")
    assert "[tarn.between-steps]" in screen("off-step").stdout
    assert screen("off-step", "--python-rules", "tarn").stdout.count("[tarn.between-steps]") == 1
    assert "tarn.between-steps" in run_cli("rules").stdout


@pytest.mark.parametrize(
    ("text", "place", "told"),
    [
        ("python rules: [tarn, tarm]\n", ":1:22", "no Python rules tarm are installed; did you mean tarn?"),
        ("python rule: [tarn]\n", ":1:1", "python rule is no key of config.yaml; did you mean python rules?"),
        ("python rules: tarn\n", ":1:15", "a list is expected"),
        ("python rules:\n  - tarn\n  - tarn\n", ":3:5", "python rules: tarn stands twice"),
        ("python rules: [[tarn]]\n", ":1:16", "python rules is a list of names"),
        ("- tarn\n", ":1:1", "config.yaml is a mapping with the keys python rules"),
        ("python rules: [!!python/name:os.system tarn]\n", ":1:16", "tags are not read"),
        ("python rules: [\n", ":2:1", "not YAML that can be read"),
        ("", ":1:1", "the file is empty"),
    ],
)
def test_a_fault_of_the_configuration_stands_at_its_place(
    screen: Callable[..., Result], configure: Callable[[str], str], text: str, place: str, told: str
) -> None:
    shown = configure(text)
    found = screen("sound")
    assert (found.exit_code, found.stdout) == (2, "")
    assert f"{shown}{place}: {told}" in found.stderr


def test_a_missing_configuration_is_nothing(tmp_path: Path) -> None:
    from rxlint.library.user_settings import read_user_settings

    assert read_user_settings(tmp_path / "config.yaml") == ((), ())
    (tmp_path / "file").write_text("", "utf-8")
    assert read_user_settings(tmp_path / "file" / "config.yaml") == ((), ())
    named, problems = read_user_settings(tmp_path)
    assert named == () and len(problems) == 1


def test_a_configuration_in_the_current_folder_is_never_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from rxlint.library.user_settings import read_user_settings

    monkeypatch.chdir(tmp_path)
    (tmp_path / "config.yaml").write_text("python rules: [tarn]\n", "utf-8")
    assert read_user_settings(Path("config.yaml")) == ((), ())
    assert [each.name for each in read_user_settings(tmp_path / "config.yaml")[0]] == ["tarn"]


def test_settings_beside_the_documents_name_no_python_rules(screen: Callable[..., Result], tmp_path: Path) -> None:
    (tmp_path / "rxlint.yaml").write_text("python rules: [tarn]\n", "utf-8")
    found = screen("off-step")
    assert found.exit_code == 2
    assert "rxlint.yaml:1:1: python rules is no key of rxlint.yaml" in found.stdout
    assert "tarn.between-steps" not in found.output


def run_module(folder: Path, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
    """``python -m rxlint`` in a folder, which Python then puts on its path."""
    variables = {"PATH": os.environ["PATH"], "HOME": str(folder / "home"), "PYTHONPATH": str(ROOT), **more}
    command = [sys.executable, "-m", "rxlint", *arguments]
    return subprocess.run(command, cwd=folder, env=variables, capture_output=True, text=True, check=False)


@pytest.mark.skipif(os.name == "nt" or sys.platform == "darwin", reason="the place of the configuration is another one")
def test_the_configuration_stands_where_the_platform_keeps_it(tmp_path: Path) -> None:
    place = tmp_path / "home" / ".config" / "rxlint"
    place.mkdir(parents=True)
    (place / "config.yaml").write_text("python rules: [tarn]\n", "utf-8")
    listed = run_module(tmp_path, "rules", PYTHONPATH=os.pathsep.join([str(ROOT), str(EXAMPLE)]))
    assert listed.returncode == 0
    assert "tarn.between-steps" in listed.stdout


def test_files_under_screening_bring_no_code_along(tmp_path: Path) -> None:
    """A folder of documents that looks like an installed distribution, and in which ``python -m`` is started."""
    (tmp_path / "sound.vrx").write_text(SOUND, "utf-8")
    install(tmp_path, "evil-rules", "evil", "evil:PACK")
    (tmp_path / "evil.py").write_text("open('ran', 'w').close()\n", "utf-8")
    found = run_module(tmp_path, "screen", "--python-rules", "evil", *ON, ".")
    assert found.returncode == 2
    assert "no Python rules evil are installed" in found.stderr
    assert not (tmp_path / "ran").exists()


# ---- what the manual says


def test_the_example_of_the_manual_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, run_cli: RunCli) -> None:
    page = (data_folder("rules") / "README.md").read_text("utf-8")
    code = page.partition("```python\n")[2].partition("```")[0]
    install(tmp_path / "site", "manual-rules", "manual", "manual_rules:PACK")
    (tmp_path / "site" / "manual_rules.py").write_text(code, "utf-8")
    monkeypatch.syspath_prepend(str(tmp_path / "site"))
    found = run_cli("test-pack", "--python-rules", "manual")
    assert (found.exit_code, "3 cases run, 0 not what they say; 0 remarks" in found.stdout) == (0, True)


def test_a_finding_can_be_accepted(screen: Callable[..., Result], tmp_path: Path) -> None:
    accepted = (
        'accepted\n  accept tarn.between-steps on PEEP until 2026-12-24 because "an older ventilator" by "consultant"\n'
    )
    (tmp_path / "accepted.vrx").write_text(document_of(OFF_STEP) + accepted, "utf-8")
    found = screen("accepted", "--python-rules", "tarn").stdout
    assert "accepted.vrx:5:3: accepted query: PEEP 5.5 cmH2O can't be set" in found, found

"""Packs, policies, profiles and settings as an attack: plain data of bounded size, or a fault at its place."""

import json
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from rxlint.packs import load_text
from rxlint.packs.load import MOST_STEPS
from tests.cli.orders import ON, SLIP, SOUND
from tests.cli.test_bad_input import command
from tests.conftest import RunCli
from tests.hostile.texts import TERMINAL, acting

SECONDS = 110
BOMB = "a: &a [x, x]\n" + "".join(f"a{at}: &a{at} [*a{at - 1 or ''}, *a]\n" for at in range(1, 30)).replace("*a0", "*a")
# what a file holds, and how its fault begins, after the file's name
NO_PLAIN_YAML = {
    "bomb": (BOMB, ":1:4: anchors and aliases are not read in packs"),
    "object": ("x: !!python/object/apply:os.system [touch ran]\n", ":1:4: tags are not read in packs: "),
    "module": ("x: !!python/module:subprocess\n", ":1:4: tags are not read in packs: "),
    "directive": ("%TAG ! tag:yaml.org,2002:python/\n---\nx: !object/new:os.system [x]\n", ":3:4: tags are not read"),
    "binary": ("x: !!binary aGk=\n", ":1:4: tags are not read in packs: "),
    "set": ("x: !!set {a, b}\n", ":1:4: tags are not read in packs: "),
    "omap": ("x: !!omap [a: b]\n", ":1:4: tags are not read in packs: "),
    "merge": ("x:\n  <<: {pack: y}\n", ":2:3: a merge key (<<) is not read in packs"),
    "twice": ("pack: x\npack: y\n", ":2:1: pack stands twice"),
    "twice in other words": ('library: x\n"library": y\n', ":2:1: library stands twice"),
    "brackets in texts": ("x: " + '["]",' * 60_000, ":1:1: nested too deeply"),
    "brackets in comments": ("x: " + "[ # ]\n  " * 60_000, ":"),
    "braces in texts": ("x: " + "{a: '}', b: " * 30_000, ":1:1: nested too deeply"),
    "keys in keys": ("? " * 100_000 + "x", ":1:1: nested too deeply"),
    "control character": ("x: \x1b[2J\n", ":1:4: not YAML that can be read: the character U+001B"),
}
FILES = {
    "settings": ("rxlint.yaml", ()),
    "policy": ("policy.yaml", ("--policy", "policy.yaml")),
    "pack": ("pack.yaml", ("--pack", "pack.yaml")),
    "profile": ("profile.yaml", ("--profile", "profile.yaml")),
}


@pytest.mark.parametrize("kind", FILES)
@pytest.mark.parametrize("name", NO_PLAIN_YAML)
def test_what_is_no_plain_data_is_a_fault_at_its_place(name: str, kind: str, tmp_path: Path) -> None:
    text, told = NO_PLAIN_YAML[name]
    file, options = FILES[kind]
    (tmp_path / file).write_text(text, "utf-8")
    (tmp_path / "a.vrx").write_text(SLIP, "utf-8")
    # a process of its own: the parser is written in C, and a fault there would end this one
    run = command("screen", "a.vrx", "--no-cache", *ON, *options, cwd=tmp_path, RXLINT_CACHE=os.environ["RXLINT_CACHE"])
    out, err = run.communicate(timeout=SECONDS)
    assert run.returncode == 2
    assert f"{file}{told}" in (out + err).decode(), (out + err).decode()[:500]
    assert b"Traceback" not in err and acting((out + err).decode()) == []
    assert not (tmp_path / "ran").exists()


def test_a_faulty_setting_keeps_no_other_folder_from_being_screened(tmp_path: Path, run_cli: RunCli) -> None:
    for folder in ("bad", "good"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "a.vrx").write_text(SLIP, "utf-8")
    (tmp_path / "bad" / "rxlint.yaml").write_text(NO_PLAIN_YAML["brackets in texts"][0], "utf-8")
    found = run_cli("screen", ".", *ON)
    assert found.exit_code == 2
    assert "bad/a.vrx: not screened: bad/rxlint.yaml:1:1: nested too deeply" in found.stdout
    assert "good/a.vrx:" in found.stdout and "150ms is written without a space" in found.stdout


def word(number: int) -> str:
    return "t" + "".join(chr(97 + int(digit)) for digit in str(number))


def pack(require: str, define: Iterator[tuple[str, str]] | None = None) -> str:
    terms = "".join(
        f"  {key}:\n    as: {json.dumps(text)}\n    means: x\n    source: x\n" for key, text in define or ()
    )
    return (
        "pack: trial\nrevision: 1\nsummary: x\n"
        + ("define:\n" + terms if terms else "")
        + "rules:\n  - id: trial.one\n"
        f"    level: query\n    basis: practice\n    title: x\n    require: {json.dumps(require)}\n    say: it is so\n"
        "    because: x\n    source: common practice, no published source\n    cases: []\n"
    )


def chain(step: str, count: int) -> Iterator[tuple[str, str]]:
    yield word(0), "rate * 1 min"
    for number in range(1, count):
        yield word(number), step.replace("@", word(number - 1))


RANGES = """template "x"
  id TM-1
  revision 1
settings
  mode A/C-PC
  PEEP 5 cmH2O allow 3 to 20 cmH2O
  rate 12 /min allow 5 to 60 /min
  inspiratory pressure 17 cmH2O above ambient allow 8 to 40 cmH2O
  inspiratory time 1 s allow 0.5 to 2 s
"""
LAST = word(MOST_STEPS - 1)
EXPLODING = {
    "each term twice the last": pack(f"{LAST} < 3", chain("@ + @", MOST_STEPS)),
    "each term the square of the last": pack(f"{LAST} < 3", chain("@ * @", MOST_STEPS)),
    "each term the ninth power of the last": pack(f"{LAST} < 3", chain("@ ^ 9", MOST_STEPS)),
    "each term a quotient that may be nothing": pack(f"{LAST} < 3", chain("@ / (@ - 12)", MOST_STEPS)),
    "each term a choice of the last": pack(
        f"{LAST} < 3", chain("if (@ < 12) then (@ + 1) else (@ - @ / 3)", MOST_STEPS)
    ),
    "what holds at one point alone": pack(
        " or ".join(f"(rate * 1 min - {at}.123) ^ 8 * (PEEP / 1 cmH2O - {at}.789) ^ 8 < 0" for at in range(5, 25))
    ),
    "brackets to the limit": pack("(" * 60 + "PEEP" + ")" * 60 + " < 3 cmH2O"),
}


@pytest.mark.parametrize("name", EXPLODING)
def test_an_expression_that_is_made_to_explode_comes_to_an_end(name: str, tmp_path: Path) -> None:
    (tmp_path / "trial.yaml").write_text(EXPLODING[name], "utf-8")
    (tmp_path / "a.vrx").write_text(RANGES, "utf-8")
    (tmp_path / "b.vrx").write_text(SLIP, "utf-8")
    run = command(
        "screen", ".", "--no-cache", *ON, "--pack", "trial.yaml", "--format", "json", cwd=tmp_path, RXLINT_CACHE="off"
    )  # fmt: skip
    out, err = run.communicate(timeout=SECONDS)
    assert (run.returncode, err) == (1, b""), (out[-300:], err[-300:])
    for each in json.loads(out)["documents"]:
        assert each["problems"] == []
        told = [row["outcome"] for row in each["coverage"]["others"] if row["rule"] == "trial.one"]
        assert told in ([], ["not checked"], ["undecided"], ["broken"], ["can break"]), (
            told
        )  # what is met is counted alone
        assert sum(each["coverage"]["counts"].values()) >= 300


TOO_MUCH = {
    "a longer chain": (pack("PEEP < 3 cmH2O", chain("@ + 1", MOST_STEPS + 1)), f"{word(MOST_STEPS)} is defined by way"),
    "a chain without end": (pack("PEEP < 3 cmH2O", chain("@ + 1", 3_000)), f"{word(MOST_STEPS)} is defined by way of"),
    "a long expression": (pack(" and ".join(["PEEP < 3 cmH2O"] * 900)), "an expression may have at most 2000 charac"),
    "deep negation": (pack("not " * 400 + "PEEP < 3 cmH2O"), "nested too deeply"),
    "a high power": (pack("(rate * 1 min) ^ 99 < 3"), "a power must be a whole number from -9 to 9"),
    "a power of a power of a power": (pack("PEEP ^ 9 ^ 9 ^ 9 < 3"), "require: "),
    "a huge number": (pack("PEEP < " + "9" * 1_900 + " cmH2O"), "require: "),
    "an exponent": (pack("PEEP < 1e999 cmH2O"), "require: "),
    "look-alikes": (pack("\u0420\u0415\u0415\u0420 < 3 cmH2O"), "require: "),
    "a fullwidth number": (pack("PEEP < \uff13 cmH2O"), "require: "),
    "a call of Python": (pack("__import__('os').system('touch ran') < 3"), "require: "),
    "an attribute": (pack("PEEP.__class__ < 3"), "require: "),
}


@pytest.mark.parametrize("name", TOO_MUCH)
def test_what_is_too_much_is_a_fault_of_the_pack(name: str) -> None:
    text, told = TOO_MUCH[name]
    found, problems = load_text(text, "trial.yaml")
    assert found is None
    assert any(told in each.message and each.line > 1 for each in problems), problems[:3]


def test_texts_of_a_pack_act_on_no_terminal_and_no_page(tmp_path: Path, run_cli: RunCli) -> None:
    evil = json.dumps(f"{TERMINAL} [x](javascript:x) <script>x</script> \u202e|`")
    text = pack("PEEP < 3 cmH2O").replace("say: it is so", f"say: {evil}").replace("title: x", f"title: {evil}")
    text = text.replace("because: x", f"because: {evil}").replace("summary: x", f"summary: {evil}")
    (tmp_path / "trial.yaml").write_text(text, "utf-8")
    (tmp_path / "a.vrx").write_text(SOUND, "utf-8")
    for arguments in (
        ("rules",), ("rules", "trial.one"), ("test-pack", "trial.yaml"), ("calculations", "a.vrx"),
        ("screen", "a.vrx", *ON, "--explain", "trial.one"),
        *(("screen", "a.vrx", *ON, "--format", form) for form in ("text", "json", "sarif", "junit", "github")),
    ):  # fmt: skip
        further = () if arguments[0] in ("test-pack", "calculations") else ("--pack", "trial.yaml")
        found = run_cli(*arguments, *further)
        assert "Traceback" not in found.output and acting(found.output) == [], arguments
    sarif = json.loads(run_cli("screen", "a.vrx", *ON, "--format", "sarif", "--pack", "trial.yaml").stdout)
    (rule,) = [each for each in sarif["runs"][0]["tool"]["driver"]["rules"] if each["id"] == "trial.one"]
    assert "<script>" not in rule["help"]["markdown"] and "[x](" not in rule["help"]["markdown"]

"""What a pack's file may be: plain YAML of bounded size, and what it is told where it is not."""

import os
from pathlib import Path

import pytest

from rxlint.packs import load_pack, load_text
from rxlint.packs.reading import MOST_PROBLEMS
from rxlint.packs.yaml_tree import MAX_BYTES, MAX_DEPTH

HEAD = "pack: trial\nrevision: 1\nsummary: rules of a test\n"
BOMB = "a: &a [x, x]\n" + "".join(
    f"{chr(98 + i)}: &{chr(98 + i)} [*{chr(97 + i)}, *{chr(97 + i)}]\n" for i in range(20)
)


def problem(text: str) -> str:
    pack, found = load_text(text, "p.yaml")
    assert pack is None and len(found) == 1, found
    return str(found[0])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "p.yaml:1:1: the file is empty"),
        ("# a comment alone\n", "p.yaml:1:1: the file is empty"),
        ("- pack\n", "p.yaml:1:1: a pack is a mapping with the keys pack, revision, summary, uses, define, rules"),
        ("pack\n", "p.yaml:1:1: a pack is a mapping with the keys"),
        (HEAD + "pack: again\n", "p.yaml:4:1: pack stands twice"),
        (HEAD + "rules: !!python/object/apply:os.system [x]\n", "p.yaml:4:8: tags are not read in packs: "),
        (HEAD + "rules: !mine []\n", "p.yaml:4:8: tags are not read in packs: !mine"),
        (HEAD + "rules: &here []\n", "p.yaml:4:8: anchors and aliases are not read in packs"),
        (BOMB, "p.yaml:1:4: anchors and aliases are not read in packs"),
        (HEAD + "rules: [\n", "p.yaml:5:1: not YAML that can be read: "),
        (HEAD + "rules: *nowhere\n", "p.yaml:4:8: not YAML that can be read: "),
        (HEAD + "\trules: []\n", "p.yaml:4:1: not YAML that can be read: "),
        (HEAD + "[a, b]: c\nrules: []\n", "p.yaml:4:1: a key must be text"),
        (HEAD + "---\n" + HEAD, "p.yaml:4:1: not YAML that can be read: "),
        ("a: " + "[" * (MAX_DEPTH * 5), "p.yaml:1:1: nested too deeply: the limit is 24 levels"),
        ("- " * 20_000 + "x", "p.yaml:1:1: nested too deeply: the limit is 24 levels"),
        ("".join(" " * i + "a:\n" for i in range(800)), "p.yaml:1:1: nested too deeply: the limit is 24 levels"),
        ("".join(" " * i + "a:\n" for i in range(40)), "p.yaml:25:25: nested too deeply: the limit is 24 levels"),
        ("#" * (MAX_BYTES + 1), "p.yaml:1:1: the file is too large to be a pack: the limit is 400,000 bytes"),
        ("pack: \x00\n", "p.yaml:1:7: not YAML that can be read: the character U+0000 can't stand in a text file"),
    ],
    ids=[
        "empty", "comment", "list", "word", "key twice", "python tag", "tag", "anchor", "bomb", "unclosed", "alias",
        "tab", "key of a list", "two documents", "brackets", "dashes", "deep", "too deep", "large", "nul",
    ],
)  # fmt: skip
def test_what_is_no_plain_yaml_is_told_at_its_place(text: str, expected: str) -> None:
    assert problem(text).startswith(expected), problem(text)


def test_the_bracket_of_a_text_is_no_nesting() -> None:
    notes = "".join(f"# [ {number}\n" for number in range(20))
    pack, problems = load_text(HEAD + notes + "rules: []\n", "p.yaml")
    assert pack is not None and problems == ()


def test_a_revision_is_a_whole_number() -> None:
    assert (
        problem(HEAD.replace("1", "one") + "rules: []\n")
        == "p.yaml:2:11: revision is a whole number of at most 9 digits, not one"
    )


def test_no_more_problems_are_told_than_anybody_reads() -> None:
    pack, found = load_text(HEAD + "rules:\n" + "  - id: x\n" * 1000, "p.yaml")
    assert pack is None and len(found) == MOST_PROBLEMS + 1
    assert "more problems are not listed" in found[-1].message


@pytest.mark.parametrize(
    ("require", "line", "column"),
    [
        ("PEEPP < 3 cmH2O", 0, 14),
        ('"PEEPP < 3 cmH2O"', 0, 15),
        ("'PEEPP < 3 cmH2O'", 0, 15),
        ("PEEP > 3 cmH2O and\n      PEEPP < 3 cmH2O", 1, 7),
        (">\n      PEEP > 3 cmH2O\n      and PEEPP < 3 cmH2O", 2, 11),
        (">-\n      PEEP > 3 cmH2O and\n\n      PEEPP < 3 cmH2O", 3, 7),
        ("|\n      PEEP > 3 cmH2O\n        and PEEPP < 3 cmH2O", 2, 13),
        ('"PEEP > 3 cmH2O and\n      PEEPP < 3 cmH2O"', 1, 7),
        ('"PEEP > 3 cmH2O\\\n      \\ and PEEPP < 3 cmH2O"', 1, 13),
        ('"PEEP\\x20> 3 cmH2O and \\u0050EEPP < 3 cmH2O"', 0, 37),
        ("PEEP \\ 3 cmH2O", 0, 19),
        ("'PEEP \\ 3 cmH2O'", 0, 20),
        ("|\n      PEEP\n      \\ 3 cmH2O", 2, 7),
    ],
    ids=[
        "plain",
        "double",
        "single",
        "folded plain",
        "folded",
        "stripped",
        "literal",
        "folded double",
        "joined",
        "escaped",
        "backslash",
        "quoted backslash",
        "literal backslash",
    ],
)
def test_a_fault_inside_a_text_stands_at_its_own_line_and_column(require: str, line: int, column: int) -> None:
    text = (
        HEAD
        + "rules:\n  - id: trial.one\n    level: query\n    basis: practice\n    title: x\n"
        + f"    require: {require}\n    say: x\n    because: x\n    source: x\n    cases: []\n"
    )
    assert problem(text).startswith(f"p.yaml:{9 + line}:{column}: require: ")


def test_a_file_that_is_not_utf_8(tmp_path: Path) -> None:
    path = tmp_path / "p.yaml"
    path.write_bytes(HEAD.encode() + b"rules: [] # \xe9\n")
    assert [str(each) for each in load_pack(path, "p")[1]] == ["p:1:1: is not UTF-8 text"]


def test_files_that_are_none(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    huge = tmp_path / "huge.yaml"
    huge.touch()
    os.truncate(huge, 100_000_000)
    told = {name: load_pack(tmp_path / name, name)[1][0].message for name in ("pipe", "huge.yaml", "nowhere", "")}
    assert told == {
        "pipe": "is not a regular file",
        "huge.yaml": "the file is too large to be a pack: the limit is 400,000 bytes",
        "nowhere": "can't be opened: No such file or directory",
        "": "can't be opened: Is a directory",
    }


@pytest.mark.parametrize("end", ["\r", "\x85", "\u2028", "\u2029"])
@pytest.mark.parametrize("remark", ["", "# &a: read by the slower parser\n"])
def test_only_a_line_feed_ends_a_line(end: str, remark: str) -> None:
    text = HEAD + f"# one{end}# two\nrules:\n  - id: trial.one\n    when: 'PEEP is ofn'\n" + remark
    assert "p.yaml:7:20: when:" in "\n".join(map(str, load_text(text, "p.yaml")[1]))
    told = problem(f"\ufeffpack: a{end}summary: x\nmine: 1\nmine: 2\n{remark}")
    assert told.startswith(("p.yaml:3:1: mine stands twice", "p.yaml:1:16: not YAML"))  # as that one reads its lines


@pytest.mark.parametrize("remark", ["", "# &a: read by the slower parser\n"])
def test_a_byte_order_mark_moves_no_place(remark: str) -> None:
    text = HEAD + "rules:\n  - id: trial.one\n    when: 'PEEP is ofn'\n" + remark
    (plain,) = [each for each in load_text(text, "p.yaml")[1] if "when" in each.message]
    (marked,) = [each for each in load_text("\ufeff" + text, "p.yaml")[1] if "when" in each.message]
    assert str(plain).startswith("p.yaml:6:20: when:")
    assert marked == plain

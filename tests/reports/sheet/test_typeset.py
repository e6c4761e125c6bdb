"""Text as a sheet shows it: amounts that stay whole, nothing hidden, and strings for a style sheet."""

import re

import pytest

from rxlint.reports.sheet.typeset import MINUS, NO_BREAK, Piece, formula, pieces, style_string, visible


@pytest.mark.parametrize(
    ("text", "whole"),
    [
        ("5 cmH2O", ["5~cmH2O"]),
        ("17 cmH2O above ambient allow 15 to 20 cmH2O", ["17~cmH2O", "15~to~20~cmH2O"]),
        ("6 to 8 mL/kg of predicted weight", ["6~to~8~mL/kg"]),
        ("22 L/min at 10 cmH2O", ["22~L/min", "10~cmH2O"]),
        ("20 /min", ["20~/min"]),
        ("94 % for 5 min", ["94~%", "5~min"]),
        ("7 years 4 months", ["7~years~4~months"]),
        ("about 20 h 16 min", ["20~h~16~min"]),
        ("1:2 and 1:2.5", ["1:2", "1:2.5"]),
        ("80 kg measured 2026-10-30", ["80~kg", "2026-10-30"]),
        ("written 2026-11-02 09:30", ["2026-11-02~09:30"]),
        ("-2 cmH2O", [f"{MINUS}2~cmH2O"]),
        ("24.55 cmH2O - 14 cmH2O", ["24.55~cmH2O", "14~cmH2O"]),
        ("TM-0417 revision 3", []),
        ("S/T-PS", []),
        ("1O /min", []),
        ("2 months old", ["2~months"]),
        ("3 mLs", []),
    ],
)
def test_an_amount_is_whole(text: str, whole: list[str]) -> None:
    assert [each.text.replace(NO_BREAK, "~") for each in pieces(text) if each.whole] == whole


@pytest.mark.parametrize("text", ["5 cmH2O", "a -2 cmH2O b", "2026-11-02 09:30", "tab\there", "<b>&amp;</b> 3 s", ""])
def test_nothing_is_lost(text: str) -> None:
    assert "".join(each.text for each in pieces(text, exact=True)) == text
    told = "".join(each.text for each in pieces(text))
    assert told.replace(NO_BREAK, " ").replace(MINUS, "-") == text


def test_pieces_are_told_from_each_other() -> None:
    assert pieces("at 5 s on") == (Piece("at "), Piece(f"5{NO_BREAK}s", True), Piece(" on"))


@pytest.mark.parametrize(
    "char", ["\u202e", "\u2066", "\u200b", "\u00ad", "\u061c", "\x1b", "\x00", "\ufe0f", "\U000e0041"]
)
def test_a_hidden_character_is_seen(char: str) -> None:
    assert visible(f"a{char}b") == f"a<U+{ord(char):04X}>b"


def test_what_is_wider_than_a_page_may_end_a_line_anywhere() -> None:
    found = pieces(f"a {'x' * 50} b {'1' * 60} cmH2O")
    assert [each.text for each in found if each.long] == ["x" * 50, "1" * 60]
    assert not [each for each in found if each.whole]


def test_a_calculation_has_the_signs_of_arithmetic() -> None:
    assert formula("a * b - c >= 2") == "a \u00d7 b \u2212 c \u2265 2"


@pytest.mark.parametrize(
    "text", ['"; } body { display: none', "</style><script>alert(1)</script>", "a\\b", "\u202ex", "", "é 東"]
)
def test_a_string_of_a_style_sheet_holds_no_character_that_acts(text: str) -> None:
    told = style_string(text)
    assert re.fullmatch(r'"(?:\\[0-9A-F]{6} )*"', told)
    read = "".join(chr(int(each, 16)) for each in re.findall(r"\\([0-9A-F]{6}) ", told))
    assert read == visible(text)

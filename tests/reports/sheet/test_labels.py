"""Words in a drawing: how wide, where broken, where placed."""

import pytest

from rxlint.reports.sheet.labels import Flag, Placed, cut, placed, shown, text_width, wrapped


def test_wide_letters_take_more_room_and_marks_above_letters_none() -> None:
    assert text_width("iii", 12) < text_width("aaa", 12) < text_width("WWW", 12)
    assert text_width("aaa", 12) < text_width("aaa", 12, bold=True)
    assert text_width("\u547c", 12) > text_width("a", 12)
    assert text_width("e\u0301", 12) == text_width("e", 12)


def test_a_text_is_broken_between_words_and_a_long_word_anywhere() -> None:
    lines, is_cut = wrapped("heated humidifier 37 degC", 120, 12, 4)
    assert " ".join(lines) == "heated humidifier 37 degC"
    assert not is_cut
    lines, is_cut = wrapped("W" * 50, 120, 12, 9)
    assert "".join(lines) == "W" * 50
    assert all(text_width(line, 12) <= 120 for line in lines)
    assert not is_cut


def test_what_finds_no_room_is_marked() -> None:
    lines, is_cut = wrapped("one two three four five six seven", 60, 12, 2)
    assert is_cut
    assert len(lines) == 2
    assert lines[-1].endswith("…")
    assert all(text_width(line, 12) <= 60 for line in lines)
    assert cut("short", 100, 12) == "short"


def test_a_very_long_text_takes_no_time() -> None:
    lines, is_cut = wrapped("W" * 20_000, 200, 12, 3)
    assert is_cut
    assert len(lines) == 3


@pytest.mark.parametrize("letter", ["\u202e", "\u200b", "\ufffe", "\x07", "\ud800"])
def test_what_can_t_be_seen_is_shown_by_its_number(letter: str) -> None:
    assert shown(f"a{letter}b") == f"a<U+{ord(letter):04X}>b"


def meets(one: Placed, other: Placed) -> bool:
    return one.lane == other.lane and one.left < other.right and other.left < one.right


@pytest.mark.parametrize("places", [(100, 104, 108), (100, 100, 100, 100), (20, 590, 592), (300,), (5, 635)])
def test_labels_never_lie_on_one_another(places: tuple[int, ...]) -> None:
    found = placed([Flag(f"label of {place} cmH2O", place, "right") for place in places], 0, 640)
    assert [each.flag.at for each in found] == list(places)
    assert not any(meets(one, other) for i, one in enumerate(found) for other in found[i + 1 :])
    assert all(each.left >= 0 and each.right <= 640 for each in found)


def test_labels_far_apart_share_a_lane_and_stand_on_the_wanted_side() -> None:
    low, high = placed([Flag("low 10", 200, "left"), Flag("high 30", 400, "right")], 0, 640)
    assert (low.lane, high.lane) == (0, 0)
    assert low.right < low.flag.at
    assert high.left > high.flag.at


def test_no_label_stands_on_the_line_of_another() -> None:
    found = placed([Flag("first label", 100, "right"), Flag("second label", 130, "right")], 0, 640)
    for one in found:
        for other in found:
            assert one is other or one.lane >= other.lane or not one.left < other.flag.at < one.right

"""A share of the examples, made twice in surroundings that differ in everything at once."""

from pathlib import Path

from tests.reproducible.variants import OTHERWISE, PLAIN, differing, made


def test_everything_comes_out_the_same_in_other_surroundings(tmp_path: Path) -> None:
    homes = [tmp_path / name for name in ("one", "other")]
    for home in homes:
        home.mkdir()
    plain = made(PLAIN, homes[0], share=10)
    assert len(plain) > 20
    assert differing(plain, made(OTHERWISE, homes[1], share=10)) == ()


def test_a_difference_is_seen() -> None:
    """The comparison itself: another digest, another exit code, a command that one side lacks."""
    line = "aaaa 0 10 screen examples"
    assert differing([line], [line]) == ()
    assert differing([line], ["bbbb 0 10 screen examples"]) == ("screen examples", "screen examples")
    assert differing([line], ["aaaa 1 10 screen examples"]) == ("screen examples", "screen examples")
    assert differing([line, "cccc 0 5 rules"], [line]) == ("rules",)

"""Lines that fold: sections, tables, statements over several lines, runs of comments."""

from itertools import combinations

from rxlint.editor.folds import folds
from rxlint.editor.shapes import Fold
from tests.editor.texts import damaged, example, prefixes, read

TEXT = """\
# first
# second
prescription "p"
  id  p

settings
  rate by age
    1 to 3 years  26 /min
    3 to 9 years  20 /min
  # what follows is by weight
circuit
  assembly  ventilator,
            filter

# alone
alarms
"""


def test_every_kind_of_fold() -> None:
    assert folds(read(TEXT)) == (
        Fold(1, 2, is_comment=True),
        Fold(3, 4),
        Fold(6, 10),
        Fold(7, 9),
        Fold(11, 13),
        Fold(12, 13),
    )


def test_a_comment_at_the_margin_belongs_to_what_follows_it() -> None:
    assert folds(read("settings\n  PEEP  5 cmH2O\n# about the alarms\nalarms\n")) == (Fold(1, 2),)


def test_a_section_of_an_example() -> None:
    snapshot = example("sound/TM-0417-tracheostomy-night", ruled=False)
    found = folds(snapshot)
    assert Fold(31, 40) in found
    assert snapshot.lines[30].text.startswith("settings night") and snapshot.lines[39].text.startswith("  trigger")


def test_folds_are_nested_or_apart_and_begin_in_order() -> None:
    seen = 0
    for snapshot in [*prefixes(120, "sound", "templates", "slips"), *damaged(120, "sound", "templates", "slips")]:
        found = folds(snapshot)
        assert list(found) == sorted(found, key=lambda fold: (fold.first, -fold.last))
        for fold in found:
            assert 1 <= fold.first < fold.last <= len(snapshot.lines)
        for one, other in combinations(found, 2):
            assert other.first > one.last or other.last <= one.last
        seen += len(found)
    assert seen > 1_000

"""Random documents as nodes, from the vocabulary: every section, form and kind of value, none of it at fault."""

from hypothesis import strategies as st

from rxlint.notation import NewDetail, NewSection
from rxlint.notation import nodes as n
from rxlint.notation.takes import states_of, takes_allow, takes_automatic, takes_off
from rxlint.units import PRESSURE, UNITS, VOLUME, WEIGHT
from rxlint.vocabulary import Term, vocabulary
from tests.notation import sentences as s
from tests.notation.amounts import ages, durations, of_unit, ordered, ratios, shares
from tests.notation.plain import amount, phrase, value

WORDS = vocabulary()
SEVERAL = ("relation", "raise", "stop", "call", "accept", "extend")  # their lines may stand again in a section
COUNTS = st.integers(1, 4000).map(lambda count: n.Part(s_fraction(count), str(count), None, 0, 0, 0))


def s_fraction(count: int):  # type: ignore[no-untyped-def]
    from fractions import Fraction

    return Fraction(count)

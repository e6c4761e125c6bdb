"""Every number that a source prints for a limit, against the number that stands in the pack.

The expected numbers are copied by hand from the sources named beside them in tests/outside/limits; nothing here works
one out. Changing such a limit in a pack by as little as 5 % fails the test of that limit.
"""

from fractions import Fraction

import pytest

from tests.limits import FACTORS, disagreeing, matched
from tests.literals import Limit, builtin_limits, changed_by, limits_of, pack_names, pack_text
from tests.published import Entry, entries_of

PUBLISHED = [
    (name, limit, entry)
    for name in pack_names()
    for limit, entry in matched(name).entries.items()
    if entry.published is not None
]
CASES = [pytest.param(limit, entry, id=f"{name}-{limit.where}") for name, limit, entry in PUBLISHED]


@pytest.mark.parametrize(("limit", "entry"), CASES)
def test_the_pack_has_the_published_number(limit: Limit, entry: Entry) -> None:
    assert entry.agrees(limit), f"{limit.where}: {limit.text}, but {entry.source} has {entry.text}"


@pytest.mark.parametrize("name", pack_names())
@pytest.mark.parametrize("factor", FACTORS, ids=["higher", "lower"])
def test_every_published_number_notices_a_change(name: str, factor: Fraction) -> None:
    changed = changed_by(pack_text(name), builtin_limits(name), factor)
    published = {limit.where for pack, limit, _ in PUBLISHED if pack == name}
    assert disagreeing(limits_of(changed, name), entries_of(name)) == published


def test_there_are_published_numbers_for_adults_children_and_newborns() -> None:
    told = {(str(limit.where), entry.text) for _, limit, entry in PUBLISHED}
    assert {("adult ceiling, row 1, is", "8 mL/kg"), ("plateau limit, row 3, is", "28 cmH2O")} <= told
    assert ("child floor, row 2, is", "4 mL/kg") in told

"""What is picked inside a template has no finding; one step outside of any of its lines has one, at that line."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rxlint.screening.demands import SUPPLIES
from tests.documents import document
from tests.screening.following import Pick, found, order_of, screened
from tests.shelf import EXAMPLES

TEMPLATES = {path.stem: path.read_text("utf-8") for path in sorted((EXAMPLES / "templates").glob("*.vrx"))}
HEAD = "  id  t\n  revision  1\n  status  active\n"
ORDER = 'prescription "p"\n  follows  t revision 1\n'
REVISIONS = {name: text.split("revision", 1)[1].split()[0] for name, text in TEMPLATES.items()}


@pytest.mark.parametrize("name", TEMPLATES)
@given(data=st.data())
def test_an_order_inside_a_template_has_no_finding(name: str, data: st.DataObject) -> None:
    order = order_of(document(TEMPLATES[name]), f"{name} revision {REVISIONS[name]}", _pick(data))
    assert len(order.ranges) > 10
    told = screened(order.text(), TEMPLATES[name])
    assert [(each.rule, each.message) for each in told.findings if each.rule != "library.relation-broken"] == []
    outcomes = {row.rule: row.outcome for row in told.coverage.rules}
    assert outcomes["library.outside-template"] == outcomes["library.outside-population"] == "met"
    assert outcomes["library.lacks-template-term"] == "met"


@pytest.mark.parametrize("name", TEMPLATES)
@given(data=st.data(), above=st.booleans())
def test_one_step_outside_is_found_at_its_line(name: str, data: st.DataObject, above: bool) -> None:
    order = order_of(document(TEMPLATES[name]), f"{name} revision {REVISIONS[name]}", _pick(data))
    line = data.draw(st.sampled_from(sorted(order.ranges)))
    text = order.text({line: order.ranges[line][above]})
    entry = next(entry for entry in document(text).entries if entry.lines[0].number == line + 1)
    assume(entry.statement is not None and entry.statement.readable)
    assert entry.statement is not None and entry.statement.term is not None
    assume(not (above and entry.statement.term.key in SUPPLIES))  # more than is asked for is as good
    rules = [rule for rule, at in found(text, TEMPLATES[name]) if at == line + 1]
    assert {"outside-template", "outside-population"} & set(rules)


@given(
    st.integers(4, 8), st.integers(8, 16), st.integers(0, 8), st.integers(0, 8), st.booleans(), st.booleans(),
    st.integers(-12, 12),
)  # fmt: skip
def test_a_pressure_is_compared_in_the_form_of_the_template(
    peep: int, low: int, width: int, place: int, asked_above_peep: bool, given_above_peep: bool, off: int
) -> None:
    """The same pressure, told above ambient or above PEEP, in the template or in the order: one answer, exactly."""
    high = low + width
    above = low + min(place, width) + off
    assume(above > 0)
    base = 0 if asked_above_peep else peep
    asked = f"{low + base} to {high + base} cmH2O above {'PEEP' if asked_above_peep else 'ambient'}"
    stated = f"{above if given_above_peep else above + peep} cmH2O above {'PEEP' if given_above_peep else 'ambient'}"
    template = f'template "t"\n{HEAD}settings\n  PEEP  4 to 8 cmH2O\n  inspiratory pressure  {asked}\n'
    order = f"{ORDER}settings\n  PEEP  {peep} cmH2O\n  inspiratory pressure  {stated}\n"
    expected = [] if low <= above <= high else [("outside-template", 5)]
    assert found(order, template) == expected


@given(st.integers(40, 90), st.integers(50, 90), st.integers(1, 20), st.booleans())
def test_a_volume_is_compared_by_the_patient_s_own_weight(weight: int, tenths: int, width: int, litres: bool) -> None:
    """A volume against a range per kilogram: inside up to the last millilitre, and outside from the next."""
    low, high = Fraction(tenths, 10), Fraction(tenths + width, 10)
    most = int(high * weight)  # in mL, rounded down
    asked = f"tidal volume  {float(low)} to {float(high)} mL/kg of measured weight"
    template = f'template "t"\n{HEAD}settings\n  {asked}\npatient\n  weight  40 to 90 kg\n'
    for volume, expected in ((most, []), (most + 1, [("outside-template", 6)])):
        told = f"{volume / 1000} L" if litres else f"{volume} mL"
        order = f"{ORDER}patient\n  weight  {weight} kg\nsettings\n  tidal volume  {told}\n"
        assert found(order, template) == expected


def _pick(data: st.DataObject) -> Pick:
    return lambda many: data.draw(st.integers(0, many - 1))

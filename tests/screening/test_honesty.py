"""Whole documents: a shown example breaks its rule, what is met is met at every point, spelling makes no difference."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from rxlint.screening.engine import Screening
from rxlint.screening.ruleset import RuleSet, prepare
from tests.documents import first_rules, outcome, pack_of, rule_text, screen
from tests.screening.orders import Order, orders, points

OWN = pack_of(
    rule_text("inspiratory pressure <= 30 cmH2O", id="trial.ceiling", say="{inspiratory pressure}"),
    rule_text("supported peak <= mandatory peak + 2 cmH2O", id="trial.support", say="{supported peak}"),
    rule_text("expiratory time >= 2 * inspiratory time", id="trial.ratio", say="{expiratory time}"),
    rule_text("rate * inspiratory time <= 60 %", id="trial.duty", say="{duty cycle}", when="PEEP > 4 cmH2O"),
    rule_text("rise time <= 0.25 * inspiratory time or pressure support < 5 cmH2O", id="trial.rise", say="{rise time}"),
)


def rules() -> RuleSet:
    return prepare([*first_rules().packs, OWN])


RULES = rules()
# What a `keep` line or the reader finds is no matter of what is set, and some rules ask of nothing else.
ASKED = [each.rule.id for each in RULES.rules if not each.rule.as_set_only]


def outcomes(found: Screening) -> dict[str, str]:
    return {row.rule: row.outcome for row in found.coverage.rules if row.rule in ASKED}


@settings(max_examples=40)
@given(orders())
def test_an_example_that_is_shown_breaks_its_rule(order: Order) -> None:
    for finding in screen(order.text(), RULES).findings:
        if finding.example is not None and finding.rule in ASKED:
            assert finding.outcome in ("broken", "can break")
            assert outcome(screen(order.with_values(finding.example), RULES), finding.rule) == "broken"


@settings(max_examples=40)
@given(orders(), st.data())
def test_no_allowed_combination_breaks_what_is_met(order: Order, data: st.DataObject) -> None:
    met = {rule for rule, found in outcomes(screen(order.text(), RULES)).items() if found in ("met", "does not apply")}
    for _ in range(6):
        at = outcomes(screen(order.with_values(data.draw(points(order))), RULES))
        assert {rule: at[rule] for rule in met if at[rule] not in ("met", "does not apply", "not checked")} == {}


@settings(max_examples=30)
@given(orders(), st.data())
def test_a_narrower_range_breaks_nothing_that_was_met(order: Order, data: st.DataObject) -> None:
    met = {rule for rule, found in outcomes(screen(order.text(), RULES)).items() if found == "met"}
    chosen = data.draw(st.sampled_from(order.settings))
    value = data.draw(chosen.points())
    narrow = order.text([each.fixed(value) if each is chosen else each.line() for each in order.settings])
    after = outcomes(screen(narrow, RULES))
    assert {rule: after[rule] for rule in met if after[rule] in ("broken", "can break", "undecided")} == {}


# Exact by definition: 1 cmH2O = 98.0665 Pa, the conventional water column.
FACTORS = {
    "cmH2O": {
        "cmH2O": Decimal(1),
        "mbar": Decimal("0.980665"),
        "hPa": Decimal("0.980665"),
        "kPa": Decimal("0.0980665"),
    },
    "s": {"s": Decimal(1), "ms": Decimal(1000)},
    "ms": {"ms": Decimal(1), "s": Decimal("0.001")},
    "/min": {"/min": Decimal(1)},
}


def rewritten(line: str, data: st.DataObject) -> str:
    """The line with its numbers in another unit, exactly."""
    words = line.split(" ")
    unit = next(word for word in words if word in FACTORS)
    other, factor = data.draw(st.sampled_from(list(FACTORS[unit].items())))
    told = [f"{(Decimal(word) * factor).normalize():f}" if word[0].isdigit() else word for word in words]
    return " ".join(other if word == unit else word for word in told)


@settings(max_examples=40)
@given(orders(), st.data())
def test_an_exact_change_of_unit_changes_no_outcome(order: Order, data: st.DataObject) -> None:
    lines = [rewritten(each.line(), data) for each in order.settings]
    assert outcomes(screen(order.text(lines), RULES)) == outcomes(screen(order.text(), RULES))


@settings(max_examples=30)
@given(orders(), st.data())
def test_comments_blank_lines_spaces_and_the_order_of_lines_change_no_outcome(
    order: Order, data: st.DataObject
) -> None:
    lines = data.draw(st.permutations([each.line() for each in order.settings]))
    spaced = [line.replace(" ", data.draw(st.sampled_from((" ", "   ", "\t")))) for line in lines]
    more = [
        text
        for line in spaced
        for text in (*data.draw(st.sampled_from(((), ("",), ("# PEEP 90 cmH2O", "   ")))), line + data.draw(TAILS))
    ]
    assert outcomes(screen(order.text(more), RULES)) == outcomes(screen(order.text(), RULES))


TAILS = st.sampled_from(("", "  # as before", "   ", "\t# rate 90 /min"))

"""Several policies as one: who replaces whom, what is final, what is loosened, and what stands above."""

from dataclasses import replace

import pytest

from rxlint.packs import Pack
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.stack import stack
from rxlint.screening.ruleset import ConflictError, prepare_stack
from tests.packs.policies import order, policy, row, screened, stacked

PEEP = "of: PEEP; allow: {}"
LADDER = "pressure.oxygen-ladder"
SLIP = "pressure.supported-breaths-differ"


def own_rule(identifier: str) -> str:
    """A policy with one rule under ``rules``."""
    return (
        f"fixed: []\nrules:\n  - id: {identifier}\n    level: query\n    basis: policy\n    title: x\n"
        '    require: PEEP < 9 cmH2O\n    say: "{PEEP}"\n    because: x\n    source: x\n    cases: []\n'
    )


def network(body: str) -> Pack:
    return policy(body, "network")


def ward(body: str) -> Pack:
    return policy(body, "ward")


def limits(allow: str, extra: str = "", level: str = "query") -> str:
    return row("limits", PEEP.format(allow) + extra, level=level)


def level(rule: str, to: str, final: bool = False) -> str:
    return f"adjust:\n  - {{rule: {rule}, level: {to}, because: of the test{', final: true' if final else ''}}}\n"


def term(to: str, final: bool = False, name: str = "baseline limit") -> str:
    tail = ", final: true" if final else ""
    return f"adjust:\n  - {{term: {name}, of: pressure, to: {to}, because: of the test{tail}}}\n"


def told(*policies: Pack, above: tuple[Pack, ...] = ()) -> list[str]:
    made, problems = stack(builtin_packs(), policies, above)
    assert made is None
    return [str(each) for each in problems]


def loosens(*policies: Pack, above: tuple[Pack, ...] = ()) -> dict[str, tuple[str, ...]]:
    return {each.name: each.loosens for each in stacked(policies, above).policies if each.loosens}


def overruled(*policies: Pack, above: tuple[Pack, ...]) -> dict[str, tuple[str, ...]]:
    return {each.name: each.overruled for each in stacked(policies, above).policies if each.overruled}


# ---- rows over rows


def test_all_rows_of_all_policies_apply_and_the_nearer_one_replaces_by_id() -> None:
    wide = network(limits("4 to 8 cmH2O") + row("demand", "terms: [rate]", "site.rate"))
    near = ward(limits("4 to 10 cmH2O") + row("demand", "terms: [PEEP]", "site.peep"))
    found = screened(order("+settings", "PEEP 9 cmH2O"), wide, near).findings
    assert [each.rule for each in found] == ["site.rate"]
    (finding,) = screened(order("+settings", "PEEP 11 cmH2O", "rate 12 /min"), wide, near).findings
    assert finding.message == "PEEP 11 cmH2O lies outside 4 to 10 cmH2O, which ward allows here"
    assert [each.policy for each in finding.policy] == ["ward"]
    (finding,) = screened(order("+settings", "PEEP 9 cmH2O", "rate 12 /min"), near, wide).findings
    assert finding.message == "PEEP 9 cmH2O lies outside 4 to 8 cmH2O, which network allows here"


@pytest.mark.parametrize(
    ("wide", "near", "said"),
    [
        (
            limits("4 to 8 cmH2O", "; final: true"),
            limits("4 to 6 cmH2O"),
            "ward.yaml:6:5: site.one is final in network (network.yaml:6) and can't be replaced",
        ),
        (
            level(LADDER, "query", final=True),
            level(LADDER, "note"),
            f"ward.yaml:6:5: the level of {LADDER} is final in network (network.yaml:6) and can't be replaced",
        ),
        (
            term("20 cmH2O", final=True),
            term("25 cmH2O"),
            "ward.yaml:6:5: baseline limit of pressure is final in network (network.yaml:6) and can't be replaced",
        ),
    ],
)
def test_what_is_final_can_not_be_replaced_and_both_places_are_named(wide: str, near: str, said: str) -> None:
    assert told(network(wide), ward(near)) == [said]
    stacked((ward(near), network(wide)))  # the other way round the final one stands nearer


def test_two_policies_of_one_name() -> None:
    assert told(ward(limits("4 to 8 cmH2O")), ward(limits("4 to 6 cmH2O"))) == [
        "ward.yaml:1:1: ward is the name of two policies: of ward.yaml too"
    ]


def test_a_row_with_the_id_of_another_policy_s_rule() -> None:
    rule = own_rule("site.one")
    assert told(ward(limits("4 to 8 cmH2O")), policy(rule, "network")) == [
        "ward.yaml:6:5: site.one is a rule of network already"
    ]


def test_the_same_rule_in_two_policies_is_a_conflict() -> None:
    rule = own_rule("site.own")
    with pytest.raises(ConflictError, match=r"ward\.yaml:7:5: site\.own is a rule of network\.yaml already"):
        prepare_stack(stacked((network(rule), ward(rule))))


# ---- what is loosened


@pytest.mark.parametrize(
    ("wide", "near", "said"),
    [
        (limits("4 to 8 cmH2O"), limits("4 to 10 cmH2O"), "site.one: 4 to 10 cmH2O instead of 4 to 8 cmH2O"),
        (limits("4 to 8 cmH2O"), limits("3 to 8 cmH2O"), "site.one: 3 to 8 cmH2O instead of 4 to 8 cmH2O"),
        (limits("4 to 8 cmH2O"), limits("up to 8 cmH2O"), "site.one: up to 8 cmH2O instead of 4 to 8 cmH2O"),
        (limits("4 to 8 cmH2O"), limits("5 to 7 cmH2O"), None),
        (limits("4 to 8 cmH2O"), limits("4 to 8 hPa"), "site.one: 4 to 8 hPa instead of 4 to 8 cmH2O"),
        (limits("up to 8 cmH2O"), limits("4 to 8 cmH2O"), None),
        (limits("4 to 8 cmH2O", level="reject"), limits("4 to 8 cmH2O"), "site.one: query instead of reject"),
        (limits("4 to 8 cmH2O"), limits("4 to 8 cmH2O", level="reject"), None),
        (
            limits("4 to 8 cmH2O"),
            limits("4 to 8 cmH2O", "; when: rate is stated"),
            "site.one: applies when rate is stated instead of always",
        ),
        (limits("4 to 8 cmH2O", "; when: rate is stated"), limits("4 to 8 cmH2O", "; when:  rate is  stated"), None),
        (
            limits("4 to 8 cmH2O"),
            row("limits", "of: EPAP; allow: 4 to 8 cmH2O"),
            "site.one: is asked of EPAP instead of PEEP",
        ),
        (limits("4 to 8 cmH2O"), row("demand", "terms: [PEEP]"), "site.one: a row of demand instead of limits"),
        (
            row("demand", "terms: [PEEP, rate]"),
            row("demand", "terms: [rate, mode]"),
            "site.one: no longer demands PEEP",
        ),
        (row("demand", "terms: [PEEP]"), row("demand", "terms: [rate, PEEP]"), None),
        (
            row("fixed", "setting: rise time; to: 150 ms"),
            row("fixed", "setting: rise time; to: 200 ms"),
            "site.one: 200 ms instead of 150 ms",
        ),
        (
            row("fixed", "setting: rise time; to: 150 ms"),
            row("fixed", "setting: rise time; to: 150 ms; because: x"),
            None,
        ),
    ],
)
def test_a_row_that_asks_less_than_the_one_it_replaces_is_told(wide: str, near: str, said: str | None) -> None:
    assert loosens(network(wide), ward(near)) == ({"ward": (said,)} if said else {})


def test_lower_levels_of_rules_are_told_and_higher_ones_are_not() -> None:
    assert loosens(ward(level(SLIP, "note"))) == {"ward": (f"{SLIP}: note instead of query",)}
    assert loosens(ward(level(SLIP, "reject"))) == {}
    assert loosens(network(level(SLIP, "reject")), ward(level(SLIP, "query"))) == {
        "ward": (f"{SLIP}: query instead of reject",)
    }
    assert loosens(network(level(SLIP, "note")), ward(level(SLIP, "query"))) == {
        "network": (f"{SLIP}: note instead of query",)
    }


def test_stricter_cases_are_told_when_a_level_replaces_them() -> None:
    strict = next(rule for pack in builtin_packs() for rule in pack.rules if rule.id == "alarms.missing")
    assert strict.level == "query" and [each.level for each in strict.stricter] == ["reject"]
    told = loosens(ward(level("alarms.missing", "query")))
    assert told == {"ward": ("alarms.missing: query instead of reject",)}
    assert loosens(ward(level("alarms.missing", "reject"))) == {}


def test_a_stricter_case_beyond_the_basis_was_never_one() -> None:
    # the basis allows no more than a query, so a level of query loses nothing
    built_in = builtin_packs()
    verified = next(rule for pack in built_in for rule in pack.rules if rule.id == "alarms.missing")
    assert [each.level for each in verified.stricter] == ["reject"]
    lowered = replace(verified, basis="practice")
    packs = [
        replace(pack, rules=tuple(lowered if rule.id == lowered.id else rule for rule in pack.rules))
        for pack in built_in
    ]
    made, problems = stack(packs, (ward(level("alarms.missing", "query")),))
    assert made is not None and problems == () and [each.loosens for each in made.policies] == [()]


def test_a_changed_term_is_always_told() -> None:
    assert loosens(ward(term("20 cmH2O"))) == {"ward": ("baseline limit of pressure: 20 cmH2O",)}


# ---- levels and terms


def test_a_policy_s_level_holds_and_may_reject() -> None:
    text = order(
        "+settings", "mode SIMV-PC with PS", "PEEP 7 cmH2O", "inspiratory pressure 18 cmH2O above ambient",
        "pressure support 13 cmH2O above PEEP",
    )  # fmt: skip
    found = [each for each in screened(text, ward(level(SLIP, "reject")), alone=False).findings if each.rule == SLIP]
    (finding,) = found
    assert finding.level == "reject"
    assert [(str(each), each.sets) for each in finding.policy] == [
        ("ward revision 2, ward.yaml:6: reject instead of query", "level")
    ]
    plain = [each for each in screened(text, alone=False).findings if each.rule == SLIP]
    assert [(each.level, each.policy) for each in plain] == [("query", ())]


def test_a_changed_term_changes_what_its_rules_find() -> None:
    text = order("+settings", "mode A/C-PC", "PEEP 9 cmH2O")
    key = "pressure: baseline limit"
    base = {each.rule for each in screened(text, alone=False).findings}
    changed = screened(text, ward(term("8 cmH2O")), alone=False).findings
    new = [each for each in changed if each.rule not in base]
    reading = {each.rule.id for each in prepare_stack(stacked(())).rules if key in each.reads}
    assert new and {each.rule for each in new} <= reading
    assert all([(each.sets, each.line) for each in finding.policy] == [("limit", 6)] for finding in new)


def test_a_term_that_would_be_defined_by_itself() -> None:
    pack = next(each for each in builtin_packs() if each.name == "pressure")
    ring = ward(term("baseline limit + 1 cmH2O"))
    assert "baseline limit" in pack.names.own
    assert told(ring) == ["ward.yaml:6:5: baseline limit of pressure would be defined by itself"]


# ---- policies from above


def test_a_row_from_above_can_not_be_replaced_and_the_attempt_is_told() -> None:
    above = (network(limits("4 to 8 cmH2O", level="reject")),)
    near = ward(limits("4 to 12 cmH2O", level="note"))
    (finding,) = screened(order("+settings", "PEEP 9 cmH2O"), near, above=above).findings
    assert (finding.level, finding.policy[0].policy) == ("reject", "network")
    assert overruled(near, above=above) == {"ward": ("site.one: network decides",)}
    assert loosens(near, above=above) == {}
    same = ward(limits("4 to 8 cmH2O", "; because: of other words", level="reject"))
    assert overruled(same, above=above) == {}


def test_a_level_and_a_term_from_above_hold() -> None:
    above = (network(level(SLIP, "reject")),)
    assert overruled(ward(level(SLIP, "note")), above=above) == {
        "ward": (f"the level of {SLIP}: network sets reject, not note",)
    }
    rules = {rule.id: rule for pack in stacked((ward(level(SLIP, "note")),), above).packs for rule in pack.rules}
    assert rules[SLIP].bounded(rules[SLIP].level) == "reject"
    above = (network(term("20 cmH2O")),)
    assert overruled(ward(term("30 cmH2O")), above=above) == {
        "ward": ("baseline limit of pressure: network sets 20 cmH2O, not 30 cmH2O",)
    }


def test_what_is_final_below_does_not_bind_what_stands_above() -> None:
    below = ward(limits("4 to 12 cmH2O", "; final: true"))
    above = (network(limits("4 to 8 cmH2O")),)
    (finding,) = screened(order("+settings", "PEEP 9 cmH2O"), below, above=above).findings
    assert finding.policy[0].policy == "network"
    assert overruled(below, above=above) == {"ward": ("site.one: network decides",)}


def test_the_same_policy_named_twice_is_one_and_another_of_its_name_is_left_out() -> None:
    above = (ward(limits("4 to 8 cmH2O")),)
    assert [each.name for each in stacked((ward(limits("4 to 8 cmH2O")),), above).policies] == ["ward"]
    assert overruled(ward(limits("4 to 12 cmH2O")), above=above) == {
        "ward": ("all of it: another ward, revision 2, stands above it",)
    }
    (finding,) = screened(order("+settings", "PEEP 9 cmH2O"), ward(limits("4 to 12 cmH2O")), above=above).findings
    assert finding.message.startswith("PEEP 9 cmH2O lies outside 4 to 8 cmH2O")


def test_what_must_be_checked_and_is_never_accepted_adds_up() -> None:
    made = stacked(
        (
            network("must be checked: [pressure]\n"),
            ward("never accepted: [mode]\nmust be checked: [mode.setting-missing]\n"),
        )
    )
    pressure = {rule.id for pack in made.packs for rule in pack.rules if rule.area == "pressure"}
    assert made.must_check.keys() == pressure | {"mode.setting-missing"}
    assert {each.policy for rule, each in made.must_check.items() if rule in pressure} == {"network"}
    assert made.never_accepted == {"mode": "ward"}


def test_without_policies_nothing_changes() -> None:
    made = stacked(())
    assert made.packs == builtin_packs() and made.policies == () and made.must_check == {}

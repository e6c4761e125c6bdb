"""What a policy insists on: checks that must be made, findings that nobody may accept; where rows come from."""

from rxlint.packs.builtin import builtin_packs
from tests.packs.policies import order, policy, row, screened


def test_what_must_be_checked_and_was_not_is_a_finding_at_the_heading() -> None:
    asks = policy("must be checked: [pressure.supported-breaths-differ]\n")
    text = order("+settings", "mode SIMV-PC with PS", "PEEP 5 cmH2O", "inspiratory pressure 17 cmH2O above ambient")
    found = [each for each in screened(text, asks, alone=False).findings if each.outcome == "not checked"]
    (finding,) = found
    assert (finding.rule, finding.place.line) == ("pressure.supported-breaths-differ", 1)
    assert finding.message.startswith('the check "') and finding.message.endswith("), and trial-policy asks for it")
    assert "lacks pressure support" in finding.message
    assert [(each.sets, each.line) for each in finding.policy] == [("check", 5)]
    level = next(each for pack in builtin_packs() for each in pack.rules if each.id == finding.rule).level
    assert finding.level == level
    whole = text + "  pressure support 12 cmH2O above PEEP\n"
    assert [each for each in screened(whole, asks, alone=False).findings if each.outcome == "not checked"] == []


def test_a_row_of_the_policy_must_be_checked_too() -> None:
    asks = policy(row("limits", "of: PEEP; allow: 4 to 8 cmH2O") + "must be checked: [site]\n")
    (finding,) = screened(order("+settings", "rate 12 /min"), asks).findings
    assert (finding.rule, finding.outcome) == ("site.one", "not checked")
    assert [each.sets for each in finding.policy] == ["check", "rule"]


def test_coverage_tells_where_rows_come_from() -> None:
    asks = policy(row("limits", "of: PEEP; allow: 4 to 8 cmH2O"))
    (told,) = screened(order("+settings", "PEEP 5 cmH2O"), asks).coverage.rules
    assert (told.rule, told.outcome) == ("site.one", "met")
    assert [str(each) for each in told.policy] == ["trial-policy revision 2, trial-policy.yaml:6"]


def test_what_a_policy_never_accepts_stays_a_finding_that_counts() -> None:
    body = row("limits", "of: PEEP; allow: up to 8 cmH2O")
    accepted = '"the lung needs it" by "consultant"'
    text = order("+settings", "PEEP 9 cmH2O", "+accepted", f"accept site.one until 2026-12-31 because {accepted}")

    def found(policy_body: str) -> list[tuple[str, bool]]:
        told = screened(text, policy(policy_body), alone=False).findings
        wanted = ("site.one", "governance.acceptance-refused")
        return [(each.rule, each.counts) for each in told if each.rule in wanted]

    assert found(body) == [("site.one", False)]
    assert sorted(found(body + "never accepted: [site.one]\n")) == [
        ("governance.acceptance-refused", True),
        ("site.one", True),
    ]
    assert len(found(body + "never accepted: [site]\n")) == 2

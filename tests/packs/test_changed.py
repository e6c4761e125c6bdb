"""What a policy changed is told with what held before: in findings, in coverage, and for a rule's page."""

import re

from rxlint.reports.rule_page import rule_page
from rxlint.screening.ruleset import prepare_stack
from tests.packs.policies import order, policy, row, screened, stacked

SLIP = "pressure.supported-breaths-differ"
HIGH = "pressure.baseline-high"
TRACHEOSTOMY = ("+airway", "interface tracheostomy cuffed", "+settings", "mode A/C-PC", "PEEP 25 cmH2O")


def adjusted(fields: str) -> str:
    return f"adjust:\n  - {{{fields}, because: x}}\n"


def test_a_changed_term_is_told_with_its_value_here_and_what_it_was() -> None:
    changed = policy(adjusted("term: baseline limit, of: pressure, to: 6 cmH2O"), "ward")
    (finding,) = [each for each in screened(order(*TRACHEOSTOMY), changed, alone=False).findings if each.rule == HIGH]
    (origin,) = finding.policy
    assert str(origin) == "ward revision 2, ward.yaml:6: baseline limit 6 cmH2O instead of 24 cmH2O"


def test_a_term_that_is_the_same_here_says_so() -> None:
    changed = policy(adjusted("term: baseline limit, of: pressure, to: 24 cmH2O"), "ward")
    (finding,) = [each for each in screened(order(*TRACHEOSTOMY), changed, alone=False).findings if each.rule == HIGH]
    assert finding.policy[0].change == "baseline limit 24 cmH2O as before"


def test_a_rule_s_page_and_coverage_say_from_where_to_where_the_table_went() -> None:
    changed = policy(adjusted("term: baseline limit, of: pressure, to: 6 cmH2O"), "ward")
    ready = prepare_stack(stacked((changed,)))
    rule = next(each for each in ready.all_rules if each.id == HIGH)
    page = " ".join(" ".join(rule_page(rule, ready.origins[HIGH])).split())
    told = r"limit by ward revision 2, ward\.yaml:6: baseline limit 6 cmH2O instead of a table of \d+ rows, 8 "
    assert re.search(told, page)
    row_of = {each.rule: each for each in screened(order(*TRACHEOSTOMY), changed, alone=False).coverage.rules}
    assert "instead of a table of " in row_of[HIGH].policy[0].change


def test_a_changed_level_is_told_with_the_one_it_was() -> None:
    changed = policy(adjusted(f"rule: {SLIP}, level: reject"), "ward")
    (rule,) = [each for pack in stacked((changed,)).packs for each in pack.rules if each.id == SLIP]
    assert [each.change for each in rule.origins] == ["reject instead of query"]
    strict = policy(adjusted("rule: humidity.temperature, level: query"), "ward", uses="humidity")
    (rule,) = [each for pack in stacked((strict,)).packs for each in pack.rules if each.id == "humidity.temperature"]
    assert [each.change for each in rule.origins] == ["query instead of query, in some cases reject"]


def test_a_replaced_row_is_told_with_the_one_it_replaces() -> None:
    wide = policy(row("limits", "of: PEEP; allow: 4 to 8 cmH2O", level="reject"), "north")
    near = policy(row("limits", "of: PEEP; allow: 4 to 10 cmH2O; when: rate is stated"), "ward")
    (finding,) = screened(order("+settings", "rate 12 /min", "PEEP 11 cmH2O"), wide, near).findings
    (origin,) = finding.policy
    assert origin.change == (
        "4 to 10 cmH2O instead of 4 to 8 cmH2O; query instead of reject; when rate is stated instead of always "
        "of north revision 2, north.yaml:6"
    )
    same = policy(row("limits", "of: PEEP; allow: 4 to 8 cmH2O", level="reject"), "ward")
    (finding,) = screened(order("+settings", "PEEP 11 cmH2O"), wide, same).findings
    assert finding.policy[0].change == "says the same as north revision 2, north.yaml:6"


def test_what_nobody_changed_says_nothing_of_it() -> None:
    (finding,) = screened(
        order("+settings", "PEEP 11 cmH2O"), policy(row("limits", "of: PEEP; allow: 4 to 8 cmH2O"))
    ).findings
    assert [each.change for each in finding.policy] == [""]

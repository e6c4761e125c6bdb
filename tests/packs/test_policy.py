"""Policies: every kind of fault has its place, its words and a suggestion; every row is judged as any rule is."""

import pytest

from rxlint.data import data_folder
from rxlint.packs import load_text
from tests.packs.policies import faults, order, policy, row, screened, text_of

FIXED = "setting: {}; to: {}"
LIMITS = "of: {}; allow: {}"
RULE = (
    "rules:\n  - id: site.own\n    level: reject\n    basis: policy\n    title: x\n    require: PEEP < 9 cmH2O\n"
    '    say: "{PEEP}"\n    because: x\n    source: x\n    cases: []\n'
)


def fixed(setting: str, to: str) -> list[str]:
    return faults(row("fixed", FIXED.format(setting, to)))


def limits(of: str, allow: str) -> list[str]:
    return faults(row("limits", LIMITS.format(of, allow)))


# ---- faults, each with its place


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("limit: []\nfixed: []\n", "5:1: limit is no key of a pack; did you mean limits?"),
        ("fixed: x\n", "5:8: a list is expected"),
        ("fixed: [x]\n", "5:9: a row of fixed is a mapping with id, level, source, setting, to"),
        ("demand: [{id: site.one}]\n", "5:10: the key level is missing"),
        (row("demand", "terms: [PEEP]; levl: x"), "10:5: levl is no key of a row of demand; did you mean level?"),
        (
            row("demand", "terms: [PEEP]", level="qery"),
            "7:12: level is one of reject, query, note, not qery; did you mean query?",
        ),
        (
            row("demand", "terms: [PEEP]", "One"),
            "6:9: an id is lower-case words with hyphens, an area before a point: One",
        ),
        (
            row("demand", "terms: [PEEP]; when: PEEPP is stated"),
            "10:11: when: `PEEPP` is not a term that is known here; did you mean PEEP",
        ),
        (row("demand", "terms: [PEEP]; when: PEEP > 3 s"), "10:18: when: "),
        (row("demand", "terms: [PEEP]; final: yes"), "10:12: final is one of true, false, not yes"),
        (row("demand", "terms: [PEEPP]"), "9:13: terms: there is no term PEEPP; did you mean PEEP"),
        (row("demand", "terms: [driving pressure]"), "9:13: terms: driving pressure is worked out, not stated"),
        (row("demand", "terms: []"), "9:12: terms is a list of what an order must state"),
        (row("demand", "terms: PEEP"), "9:12: terms is a list of what an order must state"),
        (
            row("demand", "terms: [PEEP]", "pressure.oxygen-ladder"),
            "6:5: pressure.oxygen-ladder is a rule of pressure; adjust its level",
        ),
        (
            row("demand", "terms: [PEEP]") + row("fixed", "setting: PEEP; to: 5 cmH2O"),
            "6:5: the id site.one stands twice, first at line ",
        ),
        (RULE + row("demand", "terms: [PEEP]", "site.own"), ": the id site.own stands twice, first at line 6"),
        (
            "must be checked: [presure]\n",
            "5:19: must be checked: there is no area presure in what uses names; did you mean pressure?",
        ),
        (
            "must be checked: [pressure.oxygen-lader]\n",
            "5:19: must be checked: there is no rule pressure.oxygen-lader in what uses names; "
            "did you mean pressure.oxygen-ladder?",
        ),
        (
            "must be checked: [timing]\n",
            "5:19: must be checked: timing is an area of the pack timing, which uses does not name",
        ),
        (
            "never accepted: [timing.trapping]\n",
            "5:18: never accepted: timing.trapping is a rule of timing, which uses does not name",
        ),
        ("must be checked: [[x]]\n", "5:19: must be checked is a list of areas and ids of rules"),
        (
            "adjust: [{rule: pressure.oxygen-ladder, level: off, because: x}]\n",
            "5:48: level is one of reject, query, note, not off",
        ),
        ("adjust: [{rule: pressure.oxygen-ladder, level: note}]\n", "5:10: the key because is missing"),
        (
            "adjust: [{rule: pressure.oxygen-ladr, level: note, because: x}]\n",
            "5:17: rule: there is no rule pressure.oxygen-ladr in what uses names; "
            "did you mean pressure.oxygen-ladder?",
        ),
        (
            "adjust: [{rule: timing.trapping, level: note, because: x}]\n",
            "5:17: rule: timing.trapping is a rule of timing, which uses does not name",
        ),
        (
            "adjust: [{rule: mode.setting-missing, term: x, level: note, because: x}]\n",
            "5:10: a row of adjust has rule, level and because, or term, of, to and because",
        ),
        ("adjust: [x]\n", "5:10: a row of adjust has rule, level and because"),
        (
            "adjust: [{term: baseline limt, of: pressure, to: 20 cmH2O, because: x}]\n",
            "5:17: term: pressure defines no term baseline limt; did you mean baseline limit?",
        ),
        (
            "adjust: [{term: baseline limit, of: presure, to: 20 cmH2O, because: x}]\n",
            "5:37: of: presure is no pack that uses names; did you mean pressure?",
        ),
        (
            "adjust: [{term: baseline limit, of: timing, to: 20 cmH2O, because: x}]\n",
            "5:37: of: uses does not name the pack timing",
        ),
        (
            "adjust: [{term: baseline limit, of: pressure, to: 20 s, because: x}]\n",
            "5:51: to: baseline limit is pressure, and this is time",
        ),
        (
            "adjust: [{term: baseline limit, of: pressure, to: PEEPP, because: x}]\n",
            "5:51: to: `PEEPP` is not a term that is known here; did you mean PEEP",
        ),
        ("adjust: [{term: baseline limit, of: pressure, to: PEEP > 3 cmH2O, because: x}]\n", "5:51: to: "),
    ],
)
def test_a_fault_has_its_place_and_its_words(body: str, told: str) -> None:
    found = faults(body)
    assert found and any(told in each for each in found), found


@pytest.mark.parametrize(
    ("setting", "to", "told"),
    [
        ("triger", "flow", "9:14: setting: there is no term triger; did you mean trigger?"),
        ("trigger", "flo", '10:9: to: "flo" is no known word of trigger; did you mean flow?'),
        (
            "PEEP",
            "5",
            "10:9: to: PEEP has a number without a unit; expected cmH2O or mbar or kPa; did you mean 5 cmH2O",
        ),
        ("PEEP", "4 to 8 cmH2O", "10:9: to is one value; a range stands under limits"),
        ("PEEP", "[5 cmH2O]", "10:9: to must be text"),
        ("inspiratory pressure", "15 cmH2O", "10:9: to: inspiratory pressure does not say whether"),
        ("tidal volume", "6 mL/kg of ideal weight", "10:9: a policy counts per kilogram of predicted or measured"),
        ("mode", "A/C-PC or A/C-VC", "10:9: to: mode is fixed to one value, not to a choice of several"),
        ("assembly", "ventilator, filter", "10:9: to: assembly can't be fixed to this; a rule of the policy can ask"),
        ("target SpO2", "at least 92 %", "10:9: to: target SpO2 is fixed to both of its ends, such as 88 to 92 %"),
        ("oxygen flow", "2 L/min at leak port", "10:9: to is an amount alone, with what it is above or per"),
    ],
)
def test_what_can_not_be_fixed(setting: str, to: str, told: str) -> None:
    assert [each[: len(told)] for each in fixed(setting, to)] == [told]


@pytest.mark.parametrize(
    ("of", "allow", "told"),
    [
        (
            "driving presure",
            "up to 15 cmH2O",
            "9:9: of: there is no term driving presure; did you mean driving pressure?",
        ),
        ("target SpO2", "88 to 92 %", "9:9: of: target SpO2 has two ends; did you mean target low SpO2 or target high"),
        ("trigger", "up to 4", "10:12: allow: trigger is no number; fixed or a rule of the policy can ask for a word"),
        ("PEEP", "5 cmH2O", "10:12: allow is LOW to HIGH, up to HIGH, or at least LOW"),
        (
            "PEEP",
            "up to 5",
            "10:18: allow: PEEP has a number without a unit; expected cmH2O or mbar or kPa; did you mean 5",
        ),
        ("PEEP", "8 to 4 cmH2O", "10:12: allow: PEEP runs from 8 cmH2O to 4 cmH2O"),
        ("PEEP", "4-8 cmH2O", '10:12: allow: "4-8" has a dash'),
        ("driving pressure", "15", "10:12: allow is LOW to HIGH, up to HIGH, or at least LOW"),
        ("driving pressure", "up to 15 s", "10:12: allow: pressure and time do not go together"),
        ("driving pressure", "up to PEEP + 1 cmH2O", "10:12: allow is LOW to HIGH, up to HIGH, or at least LOW"),
        ("driving pressure", "15 to 3 cmH2O", "10:12: allow runs from high to low: 15 to 3 cmH2O"),
        ("driving pressure", "up to 15 cmH20", "10:12: allow: "),
        ("tidal volume", "4 to 8 mL/kg", "10:12: allow: tidal volume per kilogram does not say of which weight"),
    ],
)
def test_what_can_not_be_allowed(of: str, allow: str, told: str) -> None:
    assert [each[: len(told)] for each in limits(of, allow)] == [told]


def test_an_unknown_pack_and_a_name_that_is_none() -> None:
    assert faults("fixed: []\n", uses="presure") == ["4:8: uses: there is no pack presure; did you mean pressure?"]
    assert faults("fixed: []\n", name='"a {b}"')[0].startswith("1:7: a policy's name is lower-case letters")


def test_the_same_rule_or_term_adjusted_twice() -> None:
    twice = "  - {rule: pressure.oxygen-ladder, level: note, because: x}\n" * 2
    assert faults("adjust:\n" + twice) == ["7:5: pressure.oxygen-ladder is adjusted twice, first at line 6"]
    terms = "  - {term: baseline limit, of: pressure, to: 20 cmH2O, because: x}\n" * 2
    assert faults("adjust:\n" + terms) == ["7:5: baseline limit is adjusted twice, first at line 6"]


def test_only_a_policy_s_own_rules_rest_on_its_decision() -> None:
    found = policy(RULE + "fixed: []\n")
    assert [each.bounded(each.level) for each in found.rules] == ["reject"]
    pack, problems = load_text(text_of(RULE), "p.yaml")
    assert pack is None
    assert str(problems[0]) == "p.yaml:8:12: basis is one of contradiction, verified, practice, memory, not policy"


def test_a_policy_may_refer_to_its_own_rows_and_rules() -> None:
    found = policy(
        RULE
        + row("demand", "terms: [PEEP]")
        + "must be checked: [site, site.own, pressure]\nnever accepted: [site.one]\n"
    )
    assert found.policy is not None
    assert [each.name for each in found.policy.must_check] == ["site", "site.own", "pressure"]


def test_the_policy_that_the_manual_writes_from_nothing_loads_and_works() -> None:
    section = (data_folder("rules") / "README.md").read_text("utf-8").partition("## A site's policy")[2]
    text = section.partition("```yaml\n")[2].partition("```")[0]
    pack, problems = load_text(text, "policy.yaml")
    assert pack is not None and problems == () and pack.policy is not None
    kinds = {row.kind for row in pack.policy.rows}
    assert kinds == {"fixed", "limits", "demand"} and pack.policy.levels and pack.policy.must_check
    text = order("+airway", "interface tracheostomy", "+settings", "PEEP 10 cmH2O")
    assert {each.rule for each in screened(text, pack, alone=False).findings} >= {"ours.peep", "ours.alarms"}


# ---- what rows say


def test_a_limit_names_what_is_set_what_is_allowed_and_who_allows_it() -> None:
    rule = policy(row("limits", "of: PEEP; allow: 4 to 8 cmH2O; when: interface is tracheostomy", level="reject"))
    found = screened(order("+airway", "interface tracheostomy", "+settings", "PEEP 10 cmH2O"), rule)
    (finding,) = found.findings
    assert finding.message == "PEEP 10 cmH2O lies outside 4 to 8 cmH2O, which trial-policy allows here"
    assert (finding.level, finding.outcome, finding.place.line) == ("reject", "broken", 5)
    assert [str(each) for each in finding.policy] == ["trial-policy revision 2, trial-policy.yaml:6"]
    assert [(each.sets, each.line) for each in finding.policy] == [("rule", 6)]
    assert screened(order("+airway", "interface tracheostomy", "+settings", "PEEP 8 cmH2O"), rule).findings == ()
    assert screened(order("+airway", "interface nasal mask", "+settings", "PEEP 10 cmH2O"), rule).findings == ()


@pytest.mark.parametrize(
    ("allow", "peep", "message"),
    [
        ("up to 8 cmH2O", "9 cmH2O", "PEEP 9 cmH2O lies above 8 cmH2O, the most that trial-policy allows here"),
        ("at least 4 cmH2O", "3 cmH2O", "PEEP 3 cmH2O lies below 4 cmH2O, the least that trial-policy allows here"),
        ("4 to 8 cmH2O", "9 mbar", "PEEP 9 mbar lies outside 4 to 8 cmH2O, which trial-policy allows here"),
    ],
)
def test_one_sided_limits(allow: str, peep: str, message: str) -> None:
    found = screened(order("+settings", f"PEEP {peep}"), policy(row("limits", LIMITS.format("PEEP", allow))))
    assert [each.message for each in found.findings] == [message]


def test_everything_that_is_allowed_is_judged() -> None:
    rule = policy(row("limits", "of: PEEP; allow: 4 to 8 cmH2O"))
    (finding,) = screened(order("+settings", "PEEP 6 cmH2O allow 4 to 10 cmH2O"), rule).findings
    assert finding.outcome == "can break" and finding.example is not None
    assert finding.message.startswith("allowed with PEEP ")
    assert screened(order("+settings", "PEEP 6 cmH2O allow 4 to 8 cmH2O"), rule).findings == ()


@pytest.mark.parametrize(
    ("of", "allow", "sound", "slip", "message"),
    [
        (
            "tidal volume",
            "4 to 8 mL/kg of predicted weight",
            "tidal volume 400 mL",
            "tidal volume 600 mL",
            "tidal volume 8.206 mL/kg of predicted weight lies outside 4 to 8 mL/kg of predicted weight, which",
        ),
        (
            "tidal volume",
            "4 to 8 mL/kg of predicted weight",
            "tidal volume 8 mL/kg of predicted weight",
            "tidal volume 8.1 mL/kg of predicted weight",
            "tidal volume 8.1 mL/kg of predicted weight lies outside",
        ),
        (
            "inspiratory pressure",
            "up to 15 cmH2O above PEEP",
            "inspiratory pressure 20 cmH2O above ambient",
            "inspiratory pressure 21 cmH2O above ambient",
            "inspiratory pressure 16 cmH2O above PEEP lies above 15 cmH2O above PEEP,",
        ),
        (
            "inspiratory pressure",
            "up to 20 cmH2O above ambient",
            "inspiratory pressure 15 cmH2O above PEEP",
            "inspiratory pressure 16 cmH2O above PEEP",
            "inspiratory pressure 21 cmH2O lies above 20 cmH2O above ambient, the",
        ),
        ("FiO2", "up to 60 %", "FiO2 0.6", "FiO2 65 %", "FiO2 65 % lies above 60 %, the most that trial-policy"),
        ('"I:E"', '"1:3 to 1:1"', "I:E 1:2", "I:E 1:4", "I:E 1:4 lies outside 1:3 to 1:1, which trial-policy"),
        (
            "pressure above baseline",
            "up to 15 cmH2O",
            "inspiratory pressure 20 cmH2O above ambient",
            "inspiratory pressure 22 cmH2O above ambient",
            "pressure above baseline 17 cmH2O lies above 15 cmH2O, the most",
        ),
    ],
)
def test_limits_of_every_kind_of_term(of: str, allow: str, sound: str, slip: str, message: str) -> None:
    rule = policy(row("limits", LIMITS.format(of, allow)))
    facts = ("+patient", "sex male", "height 177.8 cm", "+settings", "PEEP 5 cmH2O")  # 73 kg of predicted weight
    assert screened(order(*facts, sound), rule).findings == ()
    found = screened(order(*facts, slip), rule).findings
    assert [each.message[: len(message)] for each in found] == [message]


@pytest.mark.parametrize(
    ("setting", "to", "section", "sound", "slip", "message"),
    [
        (
            "trigger",
            "flow, leak-compensated",
            "settings",
            "trigger flow, leak-compensated",
            "trigger pressure",
            "trigger is pressure, where trial-policy always sets flow, leak-compensated",
        ),
        (
            "trigger",
            "flow, leak-compensated",
            "settings",
            "trigger flow, leak-compensated",
            "trigger flow",
            "trigger is flow, where trial-policy always sets flow, leak-compensated",
        ),
        (
            "trigger",
            "flow",
            "settings",
            "trigger flow, leak-compensated",
            "trigger pressure",
            "trigger is pressure, where trial-policy always sets flow",
        ),
        (
            "rise time",
            "150 ms",
            "settings",
            "rise time 0.15 s",
            "rise time 200 ms",
            "rise time is 200 ms, where trial-policy always sets 150 ms",
        ),
        (
            "inspiratory pressure",
            "15 cmH2O above PEEP",
            "settings\n  PEEP 5 cmH2O",
            "inspiratory pressure 20 cmH2O above ambient",
            "inspiratory pressure 18 cmH2O above ambient",
            "inspiratory pressure is 13 cmH2O above PEEP, where trial-policy always sets 15 cmH2O above PEEP",
        ),
        (
            "mode",
            "A/C-PC",
            "settings",
            "mode A/C-PC",
            "mode A/C-VC",
            "mode is A/C-VC, where trial-policy always sets A/C-PC",
        ),
        (
            "alarm disconnection",
            "after 15 s",
            "alarms",
            "disconnection after 15 s",
            "disconnection after 20 s",
            "alarm disconnection is 20 s, where trial-policy always sets after 15 s",
        ),
        (
            "alarm disconnection",
            "after 15 s",
            "alarms",
            "disconnection after 15 s",
            'disconnection off because "x"',
            "alarm disconnection is switched off, where trial-policy always sets after 15 s",
        ),
        (
            "alarm power loss",
            "'on'",
            "alarms",
            "power loss on",
            'power loss off because "x"',
            "alarm power loss is off, where trial-policy always sets on",
        ),
        (
            "alarm high leak",
            "'off'",
            "alarms",
            'high leak off because "x"',
            "high leak 40 L/min",
            "alarm high leak is on, where trial-policy always sets off",
        ),
        (
            "target SpO2",
            "88 to 92 %",
            "targets",
            "SpO2 88 to 92 %",
            "SpO2 88 to 94 %",
            "target SpO2 is 88 % to 94 %, where trial-policy always sets 88 to 92 %",
        ),
        (
            "patient diagnosis",
            "neuromuscular",
            "patient",
            "diagnosis neuromuscular",
            "diagnosis neuromuscular, obstructive",
            "patient diagnosis is neuromuscular, obstructive, where trial-policy always sets neuromuscular",
        ),
        (
            "oxygen cylinders",
            "2",
            "oxygen",
            "cylinders 2",
            "cylinders 1",
            "oxygen cylinders is 1, where trial-policy always sets 2",
        ),
    ],
)
def test_fixed_values_of_every_kind(setting: str, to: str, section: str, sound: str, slip: str, message: str) -> None:
    rule = policy(row("fixed", FIXED.format(setting, to)))
    assert screened(order(f"+{section}", sound), rule).findings == ()
    found = screened(order(f"+{section}", slip), rule).findings
    assert [each.message for each in found] == [message]
    absent = screened(order("+settings", "rate 12 /min"), rule)
    assert absent.findings == () and absent.coverage.counts["not checked"] == 1


def test_a_fixed_number_is_offered() -> None:
    (finding,) = screened(
        order("+settings", "rise time 200 ms"), policy(row("fixed", FIXED.format("rise time", "150 ms")))
    ).findings
    assert [each.text for each in finding.corrections] == ["rise time 150 ms instead of 200 ms"]


def test_what_is_demanded_is_asked_for_term_by_term_and_an_alarm_that_is_off_does_not_count() -> None:
    rule = policy(row("demand", "terms: [alarm disconnection, alarm power loss, PEEP]"))
    found = screened(
        order("+alarms", 'disconnection off because "x"', 'power loss off because "y"', "+settings", "rate 12 /min"),
        rule,
    )
    assert sorted((each.place.line, each.message) for each in found.findings) == [
        (3, "alarm disconnection is switched off, and trial-policy demands it here"),
        (4, "alarm power loss is switched off, and trial-policy demands it here"),
        (5, "PEEP is not stated, which trial-policy demands here"),
    ]
    sound = order("+alarms", "disconnection after 10 s", "power loss on", "+settings", "PEEP 5 cmH2O")
    assert screened(sound, rule).findings == ()


def test_a_line_that_can_not_be_read_is_not_called_missing() -> None:
    rule = policy(row("demand", "terms: [alarm disconnection]"))
    found = screened(order("+alarms", "disconnection after ten s"), rule)
    assert found.findings == () and found.coverage.counts["not checked"] == 1


def test_end_of_a_target_that_is_demanded() -> None:
    rule = policy(row("demand", "terms: [target low SpO2, target high SpO2]"))
    (finding,) = screened(order("+targets", "SpO2 at least 88 %"), rule).findings
    assert finding.message == "target high SpO2 is not stated, which trial-policy demands here"
    assert finding.place.line == 3

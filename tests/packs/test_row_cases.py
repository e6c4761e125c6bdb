"""Cases of a policy's rows: read as those of rules, run under the policy's rows alone, shown on the row's page."""

import pytest

from rxlint.packs import Pack, load_text
from rxlint.packs.builtin import builtin_packs
from rxlint.reports.review import review_lines
from rxlint.reports.rule_page import rule_page
from rxlint.screening.pack_review import review
from tests.packs.policies import faults

ROW = """pack: ward
revision: 1
summary: What a ward asks
uses: [pressure, notation]
limits:
  - id: ward.peep
    level: query
    of: PEEP
    allow: 4 to 8 cmH2O
    when: interface is tracheostomy
    source: ward guideline 3
    cases:
      - fires: "interface tracheostomy; PEEP 9 cmH2O"
      - holds: "interface tracheostomy; PEEP 8 cmH2O"
      - holds: "interface tracheostomy; PEEP 4 cmH2O"
      - silent: "interface oronasal mask; PEEP 9 cmH2O"
demand:
  - id: ward.alarms
    level: reject
    terms: [alarm disconnection, alarm power loss]
    when: interface is tracheostomy
    source: ward guideline 7
"""


def pack(text: str) -> Pack:
    found, problems = load_text(text, "ward.yaml", builtin_packs())
    assert found is not None, problems
    return found


def test_a_row_s_cases_are_run_and_other_rows_may_speak_on_them() -> None:
    found = review(pack(ROW))
    assert [(each.case.kind, each.failure) for each in found.cases] == [
        ("fires", None), ("holds", None), ("holds", None), ("silent", None),
    ]  # fmt: skip
    assert found.is_sound, found.remarks


def test_a_row_s_case_that_fails_shows_its_numbers_and_who_else_spoke() -> None:
    found = review(
        pack(ROW.replace('fires: "interface tracheostomy; PEEP 9', 'fires: "interface tracheostomy; PEEP 7'))
    )
    lines = list(review_lines(found))
    assert lines[0] == "ward.yaml:13:16: ward.peep: fires: does not fire: ward.peep is met"
    assert lines[1:5] == [
        "    values      interface tracheostomy, PEEP 7 cmH2O",
        "    when        interface is tracheostomy: true",
        "    requires    PEEP is between 4 cmH2O and 8 cmH2O: true",
        "    also        reject: alarm disconnection is not stated, which ward demands here [ward.alarms]",
    ]


FIRES, HOLDS, SILENT = (
    'fires: "interface tracheostomy; PEEP 9',
    'holds: "interface tracheostomy; PEEP 8',
    'silent: "interface oronasal mask',
)


@pytest.mark.parametrize(
    ("old", "new", "failure"),
    [
        (FIRES, FIRES.replace("PEEP", "PEEP 9 s; PEEP"), "its text is at fault: "),
        (HOLDS, HOLDS.replace("8", "12"), "does not hold: ward.peep is broken"),
        (SILENT, SILENT.replace("oronasal mask", "tracheostomy"), "is not silent: ward.peep is broken"),
    ],
)
def test_a_row_s_case_that_is_not_what_it_says(old: str, new: str, failure: str) -> None:
    assert ROW.count(old) == 1
    (found,) = review(pack(ROW.replace(old, new))).failures
    assert found.failure is not None and found.failure.startswith(failure)


def test_a_row_s_limit_at_which_no_case_stands_is_told_once_the_row_has_cases() -> None:
    fewer = ROW.replace('      - holds: "interface tracheostomy; PEEP 4 cmH2O"\n', "")
    assert [each.message for each in review(pack(fewer)).remarks] == [
        "no case stands at the limit itself of PEEP >= 4 cmH2O"
    ]
    none = ROW[: ROW.index("    cases:")] + ROW[ROW.index("demand:") :]
    assert review(pack(none)).is_sound


def test_a_row_of_several_requirements_has_cases_too() -> None:
    both = "interface tracheostomy; alarm disconnection after 10 s; alarm power loss on"
    more = ROW + f"    cases:\n      - fires: interface tracheostomy\n      - holds: {both}\n"
    found = review(pack(more))
    assert found.failures == () and len(found.cases) == 6


def test_a_fault_in_a_row_s_case_has_its_place() -> None:
    row = "id: site.a, level: query, of: PEEP, allow: 4 to 8 cmH2O, source: y, cases: [{fire: PEEP 9 cmH2O}]"
    body = f"limits:\n  - {{{row}}}\n"
    assert faults(body) == ["6:83: a case is one of fires, holds, silent, not fire; did you mean fires?"]


def test_a_row_s_cases_stand_on_its_page() -> None:
    policy = pack(ROW).policy
    assert policy is not None
    page = list(rule_page(policy.rows[0].rule))
    assert "  fires   interface tracheostomy; PEEP 9 cmH2O" in page

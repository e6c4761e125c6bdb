"""What holds for every built-in rule: where it comes from, how it is shown to fire and to hold, who finds it."""

from collections import Counter

import pytest

from rxlint.data import data_folder
from rxlint.packs import EVENTS, Message, Rule, Slot, load_pack
from rxlint.packs.builtin import AREAS
from rxlint.packs.found_by import shared_fields
from rxlint.packs.pack import MAY_REJECT
from rxlint.screening.ruleset import builtin_rules
from tests.packs.cases import PACKS, RULES, fired

REQUIRED = [rule for rule in RULES if not rule.found_by]
each_rule = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)


@pytest.mark.parametrize("path", sorted(data_folder("rules").glob("*.yaml")), ids=lambda path: path.stem)
def test_a_built_in_pack_loads_and_bears_the_name_of_its_file(path) -> None:  # type: ignore[no-untyped-def]
    pack, problems = load_pack(path)
    assert problems == ()
    assert pack is not None and pack.name == path.stem
    assert pack.revision >= 1 and pack.summary


def test_the_packs_come_in_the_order_of_their_areas() -> None:
    names = [pack.name for pack in PACKS]
    assert names[: len(AREAS)] == [name for name in AREAS if name in names]
    assert names == list(dict.fromkeys(names))


def test_ids_are_unique_and_the_packs_can_be_used_together() -> None:
    assert [key for key, times in Counter(rule.id for rule in RULES).items() if times > 1] == []
    assert builtin_rules().order == tuple(rule.id for rule in RULES)


@each_rule
def test_an_id_has_the_pack_s_name_before_its_point(rule: Rule) -> None:
    assert rule.area == rule.pack


@each_rule
def test_a_rule_says_what_why_and_from_where(rule: Rule) -> None:
    for text in (rule.title, rule.because, rule.source):
        assert len(text) >= 8 and text == text.strip(), text
    assert all(part.say.parts for part in rule.parts or (rule,))
    assert not rule.title.endswith(".")
    assert rule.title[0].isupper()


@each_rule
def test_a_source_says_what_its_basis_is(rule: Rule) -> None:
    if rule.basis == "practice":
        assert "common practice, no published source" in rule.source
    if rule.basis == "memory":
        assert "from memory" in rule.source
    if rule.basis == "verified":
        assert not rule.source.startswith("common practice")


@each_rule
def test_a_rule_has_at_least_two_cases_of_each_kind(rule: Rule) -> None:
    kinds = Counter(case.kind for case in rule.cases)
    assert kinds["fires"] >= 2, kinds
    assert kinds["holds"] >= 2, kinds
    texts = [(case.before, case.text, case.library) for case in rule.cases]
    assert len(set(texts)) == len(texts)


@each_rule
def test_only_a_contradiction_or_a_source_that_was_read_rejects(rule: Rule) -> None:
    """On what the rule finds in its own cases, with stricter levels taken."""
    found = fired(rule)
    assert found
    assert rule.basis in MAY_REJECT or "reject" not in {finding.level for finding in found}


@each_rule
def test_a_rule_gives_way_to_rules_that_there_are(rule: Rule) -> None:
    known = {each.id for each in RULES}
    areas = {pack.name for pack in PACKS}
    missing = [other for other in rule.yields_to if other not in known]
    assert [other for other in missing if other.partition(".")[0] in areas] == []
    assert rule.id not in rule.yields_to


def areas_to_come(event: str) -> bool:
    """Whether an event's own pack has not been written."""
    area = event.partition(".")[0]
    return area not in ("reader", "relations", "modes", "periods") and area not in {pack.name for pack in PACKS}


@pytest.mark.parametrize("event", sorted(EVENTS))
def test_an_event_has_one_rule(event: str) -> None:
    """Without one, what was found would be dropped in silence."""
    rules = [rule.id for rule in RULES if event in rule.found_by]
    assert len(rules) == 1 or (areas_to_come(event) and not rules), rules


def slots(message: Message) -> list[Slot]:
    return [part for part in message.parts if isinstance(part, Slot)]


@each_rule
def test_each_slot_of_a_message_is_a_field_of_its_event_or_an_expression(rule: Rule) -> None:
    messages = [part.say for part in rule.parts] or [rule.say]
    for slot in (slot for message in messages for slot in slots(message)):
        if slot.node is None:
            assert slot.text in shared_fields(rule.found_by)
        else:
            assert not rule.found_by


@pytest.mark.parametrize("rule", REQUIRED, ids=lambda rule: rule.id)
def test_a_rule_with_an_expression_keeps_it_as_written(rule: Rule) -> None:
    for part in rule.parts or (rule,):
        assert part.require is not None and part.require_text
        assert (part.when is None) == (not part.when_text and not rule.when_text)


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.corrections], ids=lambda rule: rule.id)
def test_each_correction_is_offered_in_some_case(rule: Rule) -> None:
    """What restores nothing is never offered; a correction that never is would be dead."""
    offered = [correction.text for finding in fired(rule) for correction in finding.corrections]
    unused = [each.key for each in rule.corrections if not any(text.startswith(each.key + " ") for text in offered)]
    assert unused == []

"""Alarms that are switched off although a pack says that this patient needs them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from rxlint.expressions import Words
from rxlint.model.facts import Facts
from rxlint.model.names import own_key
from rxlint.notation import nodes as n
from rxlint.screening.ruleset import RuleSet
from rxlint.screening.walks import Found, Walk

# The defined term that says whether an alarm is needed, by alarm; a partner is as good as the alarm itself.
NEEDS: Final[Mapping[str, str]] = {
    "alarm disconnection": "needs disconnection alarm",
    "alarm apnoea": "needs apnoea alarm",
    "alarm high inspiratory pressure": "needs high pressure alarm",
    "alarm low minute volume": "needs low volume alarm",
    "alarm low tidal volume": "needs low volume alarm",
    "alarm power loss": "needs power alarm",
    "alarm low SpO2": "needs low saturation alarm",
}
_PARTNERS: Final[Mapping[str, str]] = {
    "alarm low minute volume": "alarm low tidal volume",
    "alarm low tidal volume": "alarm low minute volume",
}


def walk_alarms_off(facts: Facts, rules: RuleSet, walk: Walk) -> None:
    """An event for each needed alarm that is off. Where nothing says what is needed, nothing can be said."""
    for alarm, name in NEEDS.items():
        needed = own_key("alarms", name)
        if needed not in rules.defined or not facts.is_stated(alarm):
            continue
        answer = facts.as_set.value(needed)
        if answer is not True and answer is not False:
            walk.unsure.setdefault("alarms.off", f"whether it {name.replace('needs', 'needs a')} can't be told")
            continue
        walk.ran.add("alarms.off")
        stated = facts.stated(alarm)
        if not answer or not is_off(alarm, facts) or stated is None or _has_partner(alarm, facts):
            continue
        body = stated.statement.body
        given = body.because if isinstance(body, n.State) and body.because else ""
        reason = given if given.strip() else "no reason given"
        entry = stated.entry
        fields = {"what": alarm.removeprefix("alarm "), "reason": reason}
        walk.found.append(Found("alarms.off", entry, entry.indent, len(entry.text.rstrip()), fields))


def is_off(alarm: str, facts: Facts) -> bool:
    """Whether an alarm is written as off."""
    value = facts.constants.get(alarm)
    return alarm in facts.off or (isinstance(value, Words) and "off" in value.stated)


def _has_partner(alarm: str, facts: Facts) -> bool:
    partner = _PARTNERS.get(alarm)
    return partner is not None and facts.is_stated(partner) and not is_off(partner, facts)

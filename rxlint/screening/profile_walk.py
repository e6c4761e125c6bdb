"""Whether the ventilator that an order names can be set as ordered: its profile's limbs, modes, steps and alarms."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from rxlint.expressions import PointEnvironment, decide, nodes, number
from rxlint.expressions.problems import near
from rxlint.model.facts import Facts
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.packs.profile import Profile, same_name
from rxlint.screening.dial_text import span, told
from rxlint.screening.dials import number_of
from rxlint.screening.setup import UNSETTABLE, Line, alarms, as_keyed, ends_of, settings
from rxlint.screening.setup_lacking import alarms_lacking, settings_lacking
from rxlint.screening.sound import sound_ranges
from rxlint.screening.walks import BUDGET, Found, Walk, example_text

_UNKNOWN: Final = "profile.unknown"
_LIMB: Final = "profile.limb-missing"
_MODE: Final = "profile.mode-missing"
_VALUE: Final = "profile.not-settable"
_SETTING: Final = "profile.setting-missing"
_ALARM: Final = "profile.alarm-missing"
EVENTS: Final = (_UNKNOWN, _LIMB, _MODE, _VALUE, _SETTING, _ALARM)


def walk_profiles(facts: Facts, profiles: Sequence[Profile]) -> Walk:
    """What the profile of the ventilator that the order names has to say of it. Without one, nothing is checked."""
    walk = Walk()
    _ventilator(facts, profiles, walk)
    return walk


def _ventilator(facts: Facts, profiles: Sequence[Profile], walk: Walk) -> None:
    stated = facts.scope.by_key.get("ventilator")
    if stated is None or (facts.band is not None and facts.band.is_elsewhere):
        return
    body = stated.statement.body
    if "ventilator" in facts.scope.repeated or not stated.statement.readable or not isinstance(body, n.Text):
        _unsure(walk, EVENTS, "which ventilator is ordered could not be read")
        return
    if not profiles:
        _unsure(walk, EVENTS, "no ventilator profiles are given")
        return
    walk.ran.add(_UNKNOWN)
    profile = find_profile(body.text, profiles)
    if profile is None:
        names = [each.name for each in profiles]
        close = near(body.text, names) or tuple(names[:3])
        walk.whole(_UNKNOWN, stated.entry, ventilator=body.text, near=" or ".join(close))
        _unsure(walk, EVENTS[1:], "the ventilator has no profile")
        return
    _limb(facts, profile, walk)
    _settings(facts, profile, walk)
    _alarms(facts, profile, walk)


def find_profile(name: str, profiles: Sequence[Profile]) -> Profile | None:
    """The profile of this name; None where there is none."""
    return next((each for each in profiles if same_name(each.name, name)), None)


def _unsure(walk: Walk, events: Sequence[str], why: str) -> None:
    for event in events:
        walk.unsure.setdefault(event, why)


def _limb(facts: Facts, profile: Profile, walk: Walk) -> None:
    stated = facts.scope.by_key.get("limb")
    if stated is None:
        return
    if (
        not stated.statement.readable
        or "limb" in facts.scope.repeated
        or not isinstance(stated.statement.body, n.Words)
    ):
        _unsure(walk, (_LIMB,), "the limb could not be read")
        return
    walk.ran.add(_LIMB)
    limbs = [words[0].text for words in stated.statement.body.alternatives]
    for limb in limbs:
        if profile.limb(limb) is None:
            takes = " or ".join(word for word, _ in profile.limbs)
            walk.whole(_LIMB, stated.entry, ventilator=profile.name, limb=limb, takes=takes)


def _settings(facts: Facts, profile: Profile, walk: Walk) -> None:
    stated, mode = facts.scope.by_key.get("mode"), facts.mode
    if mode is None or stated is None:
        if stated is not None:
            _unsure(walk, (_MODE, _VALUE, _SETTING), "the mode could not be read")
        return
    walk.ran.add(_MODE)
    if profile.mode(mode.code) is None:
        has = ", ".join(code for code, _ in profile.modes)
        walk.whole(_MODE, stated.entry, ventilator=profile.name, mode=mode.code, has=has)
        _unsure(walk, (_VALUE, _SETTING), "the ventilator does not have the mode")
        return
    walk.ran.add(_SETTING)
    for key, each in settings_lacking(facts, profile):
        walk.whole(_SETTING, each.entry, ventilator=profile.name, what=key)
    for line in settings(facts, profile, as_keyed(facts, profile)):
        _line(line, facts, profile, walk)


def _alarms(facts: Facts, profile: Profile, walk: Walk) -> None:
    if not any(key.startswith("alarm ") for key in facts.scope.by_key):
        return
    walk.ran.add(_ALARM)
    for key, each in alarms_lacking(facts, profile):
        walk.whole(_ALARM, each.entry, ventilator=profile.name, what=key.removeprefix("alarm "))
    for line in alarms(facts, profile, as_keyed(facts, profile)):
        _line(line, facts, profile, walk)


def _line(line: Line, facts: Facts, profile: Profile, walk: Walk) -> None:
    """Whether one line can be keyed in as it is set, and wherever staff may move it."""
    stated = line.stated
    if stated is None or (line.state == "open" and line.node is None):
        return
    if line.state == "not known":
        if not stated.statement.readable:
            return  # its own finding comes first: one slip, one finding
        walk.unsure.setdefault(_VALUE, f"{line.key}: {line.why}")
        return
    walk.ran.add(_VALUE)
    if line.state in UNSETTABLE:
        fields = _fields(line, profile, line.why, " or ".join(line.choices))
        entry = stated.entry
        walk.found.append(Found(_VALUE, entry, entry.indent, len(entry.text.rstrip()), fields))
    else:
        _moved(line, stated, facts, profile, walk)


def _fields(line: Line, profile: Profile, why: str, choices: str) -> dict[str, str]:
    what = line.key.removeprefix("alarm ") + (" alarm" if line.key.startswith("alarm ") else "")
    nearest = f"; the nearest it takes: {choices}" if choices else ""
    return {"ventilator": profile.name, "what": what, "name": line.name, "why": why, "nearest": nearest}


def _moved(line: Line, stated: Stated, facts: Facts, profile: Profile, walk: Walk) -> None:
    """Whether the dial goes as far as the order lets staff go."""
    dial, node = line.dial, line.node
    if dial is None or node is None or not dial.steps or dial.is_ratio or ends_of(node, facts) is None:
        return
    dimension = dial.unit.dimension
    slack = dial.near * dial.unit.factor
    low = nodes.Number(dial.steps[0].low * dial.unit.factor - slack, "", dimension)
    high = nodes.Number(dial.steps[-1].high * dial.unit.factor + slack, "", dimension)
    within = nodes.Between(node, low, high)
    decision = decide(None, within, facts.space, BUDGET, facts.common)
    if decision.outcome == "undecided":
        walk.unsure.setdefault(_VALUE, "the search ended before it was decided")
    if decision.outcome not in ("broken everywhere", "can break") or decision.example is None:
        return
    reached = number(node, PointEnvironment(facts.space, decision.example))
    if not isinstance(reached, Fraction):
        return
    why = f"the order lets it come to {told(dial, number_of(dial, reached))}, and it is set {span(dial)}"
    entry = stated.entry
    found = Found(
        _VALUE, entry, entry.indent, len(entry.text.rstrip()), _fields(line, profile, why, ""),
        example=example_text(facts, decision.example), outcome="can break",
        sound=sound_ranges(None, within, facts, decision.example),
    )  # fmt: skip
    walk.found.append(found)

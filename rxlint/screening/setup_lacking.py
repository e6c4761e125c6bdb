"""What a ventilator can't do for an order, and what is set at something else than the ventilator."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from rxlint.expressions import Words
from rxlint.model.facts import Facts
from rxlint.model.stated import Stated
from rxlint.packs.profile import Profile
from rxlint.physiology.oxygenation import AIR
from rxlint.screening.dial_text import prescribed_text
from rxlint.screening.dials import key_in, served
from rxlint.vocabulary import vocabulary

# The monitors that give these alarms where the ventilator does not.
_WATCHED_BY: Final = {"SpO2": ("pulse oximeter",), "EtCO2": ("capnograph",), "FiO2": ("oxygen analyser",)}
_BESIDE: Final = ("oxygen flow", "humidifier temperature", "cuff pressure")
_FRACTION: Final = "FiO2"
_ROOM_AIR: Final = Fraction(str(AIR))


def settings_lacking(facts: Facts, profile: Profile) -> Iterator[tuple[str, Stated]]:
    """Settings of the order for which the ventilator has nothing to key in, and needs it."""
    for key, stated in _not_entered(facts, profile):
        if not (key == _FRACTION and _is_room_air(facts)):
            yield key, stated


def _not_entered(facts: Facts, profile: Profile) -> Iterator[tuple[str, Stated]]:
    mode = facts.mode
    if mode is None or profile.mode(mode.code) is None:
        return
    entered = {key for dial in profile.settings for own in [key_in(dial, facts)] if own is not None
               for key in served(own, mode)}  # fmt: skip
    terms = vocabulary().terms
    for key, stated in facts.scope.by_key.items():
        section = stated.block.section
        if section not in ("settings", "back-up") or key not in terms or terms[key].kind != "value":
            continue
        unused = section == "settings" and mode.checked and key not in mode.settings
        if key not in entered and stated.statement.readable and not unused:
            yield key, stated


def _is_room_air(facts: Facts) -> bool:
    """Whether the order asks for the air of the room and allows nothing else: that needs no mixer."""
    may_move = facts.closure((_FRACTION,)) & facts.allowed.keys()
    return not may_move and facts.as_set.value(_FRACTION) == _ROOM_AIR


def alarms_lacking(facts: Facts, profile: Profile) -> Iterator[tuple[str, Stated]]:
    """Alarms of the order that neither the ventilator gives nor a monitor that the order names."""
    own = {key for dial in profile.alarms for key in dial.keys}
    for key, stated in facts.scope.by_key.items():
        if not key.startswith("alarm ") or key in own or key in facts.off or not stated.statement.readable:
            continue
        if watcher(key, facts) is None and not _is_off(key, facts):
            yield key, stated


def _is_off(key: str, facts: Facts) -> bool:
    state = facts.constants.get(key)
    return isinstance(state, Words) and state.stated == {"off"}


def watcher(key: str, facts: Facts) -> str | None:
    """The monitor of the order that gives an alarm; None where there is none."""
    for what, monitors in _WATCHED_BY.items():
        if key.endswith(f" {what}"):
            for section in ("monitoring", "equipment"):
                listed = facts.constants.get(section)
                names = {each.name for each in listed} if isinstance(listed, tuple) else set()
                found = next((each for each in monitors if each in names), None)
                if found is not None:
                    return found
    return None


def beside(facts: Facts, profile: Profile) -> Iterator[tuple[str, str]]:
    """What is set at something else: alarms of monitors, oxygen that is bled in, the humidifier, the cuff; room air."""
    own = {key for dial in profile.alarms for key in dial.keys}
    for key, stated in _not_entered(facts, profile):
        if key == _FRACTION and _is_room_air(facts):
            yield key, f"{prescribed_text(stated, facts)}, room air, for which no mixer is needed"
    for key, stated in facts.scope.by_key.items():
        if key in own or not stated.statement.readable:
            continue
        monitor = watcher(key, facts) if key.startswith("alarm ") else None
        if monitor is not None and key not in facts.off:
            yield f"{key.removeprefix('alarm ')}, at the {monitor}", prescribed_text(stated, facts)
        elif key in _BESIDE:
            yield key, prescribed_text(stated, facts)

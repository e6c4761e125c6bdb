"""The circuit of a scope as it is listed: its parts in their order, and by which of them exhaled gas leaves.

What counts as a way out is what the rules of the circuit count: a leak port, an exhalation valve, a Y-piece, a vented
mask, an interface that breath leaves beside.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from rxlint.expressions import Words
from rxlint.model.facts import Facts
from rxlint.notation import nodes as n
from rxlint.reports.sheet.labels import shown
from rxlint.reports.sheet.spans import written
from rxlint.vocabulary import vocabulary

MASKS: Final = frozenset({"nasal mask", "oronasal mask", "total face mask", "helmet", "nasal pillows"})
OPEN: Final = frozenset({"mouthpiece", "nasal prongs", "tracheostomy mask"})

_JOINT: Final = "Y-piece"
_VALVE: Final = "speaking valve"
_PLACES: Final = {"ventilator inlet": "ventilator", "leak port": "leak port"}


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a list, with its size as it is written and what else the order says of it."""

    name: str
    size: str
    more: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """Its name with its size."""
        return f"{self.name} {self.size}".rstrip()


@dataclass(frozen=True, slots=True)
class Exit:
    """A way out: the index of the part that it is at (None: the expiratory limb, or the patient's end), in words."""

    at: int | None
    words: str
    by_limb: bool = False
    is_passed: bool = True  # whether any breath comes back to it

    @property
    def text(self) -> str:
        """The whole of it in words."""
        if self.is_passed:
            return f"exhaled gas leaves {self.words}"
        return f"a way out {self.words}, but no breath comes back to it past the speaking valve"


@dataclass(frozen=True, slots=True)
class Circuit:
    """A circuit as listed.

    ``joint`` is the index of the part that the expiratory limb begins at (None: not stated). ``absent`` says in whole
    sentences that no way out is stated, or that nobody can tell; ``beside`` is what stands beside the lists.
    """

    limb: str
    parts: tuple[Part, ...]
    expiratory: tuple[Part, ...] | None
    joint: int | None
    exits: tuple[Exit, ...]
    absent: tuple[str, ...]
    interface: str
    beside: tuple[str, ...]

    @property
    def turn(self) -> int | None:
        """The index of the part nearest to the patient by which gas leaves; len(parts) is the patient's own end."""
        if not self.exits:
            return None
        ends = [len(self.parts) if each.at is None else each.at for each in self.exits if not each.by_limb]
        ends += [self.joint for each in self.exits if each.by_limb and self.joint is not None]
        return max(ends, default=None)


def circuit_of(facts: Facts) -> Circuit | tuple[str, ...]:
    """The circuit, or why it can't be drawn."""
    why = tuple(_why_not(facts))
    if why:
        return why
    parts = _parts("assembly", facts)
    limb_parts = _parts("expiratory limb", facts) if facts.stated("expiratory limb") is not None else None
    parts = tuple(_with_more(parts, facts))
    interface = facts.stated("interface")
    joint = _joint(parts)
    exits, absent = _ways_out(parts, limb_parts, joint, facts)
    return Circuit(
        _word("limb", facts),
        parts,
        limb_parts,
        joint if limb_parts is not None else None,
        tuple(exits),
        tuple(absent),
        written(interface) if interface is not None else "not stated",
        tuple(_beside(parts, facts)),
    )


def _why_not(facts: Facts) -> Iterator[str]:
    if "assembly" in facts.unreadable:
        yield "the assembly is stated and could not be read"
    elif facts.stated("assembly") is None and facts.stated("expiratory limb") is None:
        yield "the order lists no parts of a circuit"


def _parts(key: str, facts: Facts) -> tuple[Part, ...]:
    stated = facts.stated(key)
    if stated is None or key in facts.unreadable or not isinstance(stated.statement.body, n.Items):
        return ()
    return tuple(Part(shown(item.name), _size(item.amount)) for item in stated.statement.body.items)


def _size(amount: n.Amount | None) -> str:
    if amount is None:
        return ""
    return shown(" ".join(f"{part.text} {part.unit or ''}".rstrip() for part in amount.parts))


def _word(key: str, facts: Facts) -> str:
    stated = facts.stated(key)
    if stated is None:
        return "not stated"
    return "stated, could not be read" if key in facts.unreadable else written(stated)


def _with_more(parts: Sequence[Part], facts: Facts) -> Iterator[Part]:
    """The parts, each with what other lines say of it."""
    names = [part.name for part in parts]
    for index, part in enumerate(parts):
        more: list[str] = []
        if part.name == "ventilator" and index == names.index("ventilator"):
            more += _ventilator(facts)
        if part.name == "heated humidifier" and facts.stated("humidifier temperature") is not None:
            more.append(f"set to {_word('humidifier temperature', facts)}")
        if part.name == "leak port" and facts.stated("leak port flow") is not None:
            more.append(_word("leak port flow", facts))
        if _oxygen_at(facts, names) == index:
            more.append(f"oxygen enters: {_word('oxygen flow', facts)}")
        yield Part(part.name, part.size, tuple(more))


def _ventilator(facts: Facts) -> Iterator[str]:
    """The name that the order gives the ventilator."""
    stated = facts.stated("ventilator")
    if stated is not None:
        body = stated.statement.body
        yield shown(body.text) if isinstance(body, n.Text) else "its name is stated and could not be read"


def _oxygen_at(facts: Facts, names: Sequence[str]) -> int | None:
    """The index of the part at which oxygen enters."""
    if facts.stated("oxygen flow") is None:
        return None
    place = facts.constants.get("oxygen flow place")
    if not isinstance(place, Words):
        return names.index("oxygen connector") if "oxygen connector" in names else None
    word = next(iter(place.stated), "")
    if word == "mask":
        return _interface_at(names)
    part = _PLACES.get(word)
    return names.index(part) if part in names else None


def _interface_at(names: Sequence[str]) -> int | None:
    kinds = vocabulary().items["circuit"].groups["interface"]
    return next((index for index in range(len(names) - 1, -1, -1) if names[index] in kinds), None)


def _joint(parts: Sequence[Part]) -> int | None:
    """Where an expiratory limb begins: at the Y-piece, or at a helmet, which may have two ports."""
    names = [part.name for part in parts]
    if _JOINT in names:
        return names.index(_JOINT)
    return names.index("helmet") if "helmet" in names else None


# ---- ways out


def _ways_out(
    parts: Sequence[Part], limb_parts: Sequence[Part] | None, joint: int | None, facts: Facts
) -> tuple[list[Exit], list[str]]:
    """Every way out that is stated; where there is none, sentences that say so."""
    exits = [*_by_parts(parts, limb_parts)]
    kind = _stated_words("limb", facts)
    if limb_parts is not None and not any(each.by_limb for each in exits) and ("dual" in kind or joint is not None):
        exits.append(Exit(None, "at the ventilator, which it comes back to by the expiratory limb", by_limb=True))
    by_interface, absent = _by_interface(parts, facts)
    exits += by_interface
    if any(each not in by_interface for each in exits):
        absent = []
    exits = [*_past_speaking_valve(exits, parts, facts)]
    if not exits and facts.mode is not None and facts.mode.pattern == "high flow":
        return exits, ["High flow: nobody breathes out into this circuit."]
    return exits, absent


def _past_speaking_valve(exits: Sequence[Exit], parts: Sequence[Part], facts: Facts) -> Iterator[Exit]:
    """The ways out, with what a speaking valve makes of them: none of the breath comes back past it."""
    valve = next((index for index, part in enumerate(parts) if part.name == _VALVE), None)
    if valve is None or not exits:
        yield from exits
        return
    for each in exits:
        behind = each.by_limb or (each.at is not None and each.at < valve)
        yield replace(each, is_passed=not behind)
    cuff = f", if the cuff leaves room (cuff: {_word('cuff', facts)})" if facts.stated("cuff") is not None else ""
    yield Exit(None, f"past the tube, by the mouth{cuff}: the speaking valve lets none of it back")


def _by_parts(parts: Sequence[Part], limb_parts: Sequence[Part] | None) -> Iterator[Exit]:
    for index, part in enumerate(parts):
        if part.name == "leak port":
            yield Exit(index, "through the leak port")
        elif part.name == "exhalation valve":
            yield Exit(index, "through the exhalation valve")
        elif part.name == _JOINT and limb_parts is None:
            yield Exit(index, "at the Y-piece, into an expiratory limb whose parts are not listed")
        elif part.name == _JOINT and index == next(i for i, each in enumerate(parts) if each.name == _JOINT):
            words = "at the ventilator, which it comes back to by the expiratory limb"
            yield Exit(None, words, by_limb=True)


def _stated_words(key: str, facts: Facts) -> frozenset[str]:
    """Every word that a term says, in any of its alternatives."""
    return frozenset[str]().union(*(words.stated for words in _alternatives(key, facts)))


def _alternatives(key: str, facts: Facts) -> tuple[Words, ...]:
    axis = facts.axes.get(key)
    if axis is not None:
        return tuple(each for each in axis.options if isinstance(each, Words))
    fixed = facts.constants.get(key)
    return (fixed,) if isinstance(fixed, Words) else ()


_Answer = Literal["vent", "open", "unknown", "none"]


def _by_interface(parts: Sequence[Part], facts: Facts) -> tuple[list[Exit], list[str]]:
    """What the interface lets out, for each of its alternatives; sentences where it lets nothing out."""
    options = _alternatives("interface", facts)
    at = _interface_at([part.name for part in parts])
    several = len(options) > 1
    exits: list[Exit] = []
    absent: list[str] = []
    if "interface" in facts.unreadable:
        absent.append("The interface could not be read: whether it lets exhaled gas out is not known.")
    elif not options:
        absent.append("No way out for exhaled gas is stated.")
    for words in options:
        kind = _kind_of(words)
        name = " ".join(each for each in (kind, *sorted(words.stated - {kind})) if each)
        condition = f", if the interface is {name}" if several else ""
        match _answer(words, kind):
            case "vent":
                exits.append(Exit(at, f"through the vent of the {kind}{condition}"))
            case "open":
                exits.append(Exit(at, f"beside the {kind}{condition}"))
            case "unknown":
                absent.append(f"Whether the {kind} is vented is not stated: nobody can tell where exhaled gas leaves.")
            case "none":
                absent.append(f"No way out for exhaled gas is stated{condition}.")
    return exits, list(dict.fromkeys(absent))


def _kind_of(words: Words) -> str:
    kinds = vocabulary().terms["interface"].slots[0].words
    return next((word for word in kinds if word in words.stated), "")


def _answer(words: Words, kind: str) -> _Answer:
    if kind in OPEN:
        return "open"
    if kind in MASKS and "vented" in words.stated:
        return "vent"
    return "unknown" if kind in MASKS and "non-vented" not in words.stated else "none"


# ---- beside the lists


def _beside(parts: Sequence[Part], facts: Facts) -> Iterator[str]:
    """What the order says of the circuit beside its lists, and where the lists are not as they are meant to be read."""
    names = [part.name for part in parts]
    if parts and names[0] != "ventilator":
        yield "The list of parts does not begin with the ventilator."
    if not parts:
        yield "The parts from the ventilator to the patient are not listed."
    if "expiratory limb" in facts.unreadable:
        yield "The expiratory limb is stated and could not be read."
    said = [
        f"{key} {_word(key, facts)}"
        for key in ("humidification", "oxygen inlet", "nebuliser")
        if facts.stated(key) is not None
    ]
    if facts.stated("oxygen flow") is not None and _oxygen_at(facts, names) is None:
        said.append(f"oxygen {_word('oxygen flow', facts)}, at none of these parts")
    if facts.stated("leak port flow") is not None and "leak port" not in names:
        said.append(f"leak port flow {_word('leak port flow', facts)}, and no leak port in the list")
    if facts.stated("ventilator") is not None and "ventilator" not in names:
        said.append(f"ventilator {_word('ventilator', facts)}")
    if said:
        yield f"Stated beside the list: {'; '.join(said)}."

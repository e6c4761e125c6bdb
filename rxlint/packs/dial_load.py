"""One entry of a profile: the terms it sets, and its unit with ranges and steps, or the words of its scale."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions.problems import near
from rxlint.packs.profile import WORKED_OUT, Choice, Dial, Reference, Steps
from rxlint.packs.reading import Reader
from rxlint.packs.yaml_tree import Mapping_, Scalar, Sequence_, Tree
from rxlint.units import PLAIN, PRESSURE, Unit, find_unit, to_base
from rxlint.vocabulary import Term, vocabulary

SETTING_KEYS: Final = (
    "setting", "name", "unit", "range", "step", "steps", "entered", "scale", "modes", "near enough",
)  # fmt: skip
ALARM_KEYS: Final = (
    "alarm", "name", "unit", "range", "step", "steps", "entered", "scale", "modes", "near enough", "off",
)  # fmt: skip
STRETCH_KEYS: Final = ("range", "step")
ENTERED: Final[Mapping[str, Reference]] = {"above ambient": "ambient", "above PEEP": "PEEP"}
FRACTION: Final = "fraction"
"""The unit of a dial that shows an oxygen fraction as a number between 0 and 1."""

_DIGITS: Final = r"[0-9]{1,15}(?:\.[0-9]{1,15})?"  # as many as a number of the notation has
_NUMBER: Final = re.compile(rf"-?{_DIGITS}")
_RATIO: Final = re.compile(rf"({_DIGITS}):({_DIGITS})")
_BASELINES: Final = frozenset({"PEEP", "EPAP", "fallback PEEP", "fallback EPAP"})


@dataclass(frozen=True, slots=True)
class _Head:
    """What an entry sets: its keys, the vocabulary's term of the first, and its standard unit."""

    keys: tuple[str, ...]
    term: Term | None
    units: tuple[Unit, ...]


def settable(section: str) -> tuple[str, ...]:
    """The keys that the entries of a section of a profile may set; those of alarms without ``alarm``."""
    words = vocabulary()
    if section == "alarms":
        return tuple(words.sections["alarms"].terms)
    forms = ("quantity", "fraction", "ratio", "words")
    own = [
        term.key
        for name in ("settings", "back-up")
        for term in words.sections[name].terms.values()
        if term.kind == "value" and term.form in forms
    ]
    return (*own, *WORKED_OUT)


def read_dial(reader: Reader, tree: Tree, section: str) -> Dial | None:
    """An entry of ``settings`` or ``alarms``; None where it has a fault, which is then the reader's."""
    what = "setting" if section == "settings" else "alarm"
    if not isinstance(tree, Mapping_):
        reader.fault(tree.spot, f"an entry of {section} is a mapping with {what}, name and range or scale")
        return None
    before = len(reader.problems)
    reader.unknown_keys(tree, SETTING_KEYS if what == "setting" else ALARM_KEYS, f"an entry of {section}")
    head = _head(reader, tree, what, section)
    name = reader.text(tree, "name")
    if head is None or name is None:
        return None
    has_scale, has_range = tree.get("scale") is not None, bool({"range", "steps"} & {key.text for key, _ in tree.items})
    if has_scale == has_range:
        reader.fault(tree.spot, "an entry has either a range with its step (or steps), or a scale")
        return None
    unit = head.units[0] if has_scale or not head.units else _unit(reader, tree, head)
    dial = Dial(
        head.keys,
        " ".join(name.split()),
        tree.spot,
        unit,
        tuple(_steps(reader, tree, head)) if has_range else (),
        tuple(_choices(reader, tree, head)) if has_scale else (),
        _entered(reader, tree, head),
        frozenset(_texts(reader, tree, "modes")) or None,
        _near(reader, tree),
        reader.text(tree, "off", needed=False),
    )
    return dial if len(reader.problems) == before else None


def _texts(reader: Reader, tree: Mapping_, key: str) -> list[str]:
    return [each.text for each in reader.sequence(tree.get(key), None) if isinstance(each, Scalar)]


def _head(reader: Reader, tree: Mapping_, what: str, section: str) -> _Head | None:
    value = tree.get(what)
    if value is None:
        reader.fault(tree.spot, f"the key {what} is missing")
        return None
    listed = value.items if isinstance(value, Sequence_) else (value,)
    known = settable(section)
    keys: list[str] = []
    for each in listed:
        text = each.text.strip() if isinstance(each, Scalar) else ""
        if text not in known:
            reader.fault(each.spot, f"{what}: {text or 'this'} is nothing that a profile can set", near(text, known))
            return None
        keys.append(f"alarm {text}" if what == "alarm" else text)
    if not keys:
        reader.fault(value.spot, f"{what}: a term of the notation is needed")
        return None
    kinds = {_units_of(key)[:1] for key in keys}
    if len(kinds) > 1 or len({_form(key) for key in keys}) > 1:
        reader.fault(value.spot, f"{what}: {' and '.join(keys)} are not measured alike")
        return None
    return _Head(tuple(keys), vocabulary().terms.get(keys[0]), _units_of(keys[0]))


def _units_of(key: str) -> tuple[Unit, ...]:
    if key in WORKED_OUT:
        return (WORKED_OUT[key].unit,)
    return vocabulary().terms[key].units or (PLAIN,)


def _form(key: str) -> str:
    return "quantity" if key in WORKED_OUT else vocabulary().terms[key].form


def _is_numeric(head: _Head) -> bool:
    return head.term is None or head.term.form in ("quantity", "fraction", "ratio", "delay")


def _unit(reader: Reader, tree: Mapping_, head: _Head) -> Unit:
    """The unit that the numbers of an entry are in."""
    if head.keys[0].endswith("I:E"):
        if tree.get("unit") is not None:
            reader.fault(reader.spot_of(tree, "unit"), "unit: a ratio has none")
        return PLAIN
    if not _is_numeric(head):
        reader.fault(tree.spot, f"{head.keys[0]} has no numbers: give a scale")
        return PLAIN
    symbol = reader.text(tree, "unit")
    if symbol is None:
        return head.units[0]
    unit = PLAIN if symbol == FRACTION and head.term is not None and head.term.form == "fraction" else find_unit(symbol)
    if unit is None:
        symbols = [each for known in head.units for each in _symbols(known)]
        reader.fault(reader.spot_of(tree, "unit"), f"unit: there is no unit {symbol}", near(symbol, symbols))
        return head.units[0]
    if unit.dimension not in {each.dimension for each in head.units}:
        measured = " or ".join(dict.fromkeys(each.dimension.describe() for each in head.units))
        told = f"unit: {head.keys[0]} is a {measured}, and {symbol} measures a {unit.dimension.describe()}"
        reader.fault(reader.spot_of(tree, "unit"), told)
        return head.units[0]
    return unit


def _symbols(unit: Unit) -> list[str]:
    from rxlint.units import units_of

    return units_of(unit.dimension)


def _entered(reader: Reader, tree: Mapping_, head: _Head) -> Reference | None:
    """What a pressure counts from. A baseline is above ambient; any other pressure of a breath must say."""
    needs = PRESSURE in {each.dimension for each in head.units[:1]} and not set(head.keys) <= _BASELINES
    value = tree.get("entered")
    if value is None:
        if needs and not head.keys[0].startswith("alarm "):
            reader.fault(tree.spot, "the key entered is missing: above ambient, or above PEEP")
        return "ambient" if PRESSURE in {each.dimension for each in head.units[:1]} else None
    if not needs:
        reader.fault(value.spot, f"entered: {head.keys[0]} counts from nothing that a site could choose")
        return None
    return ENTERED[reader.one_of(tree, "entered", tuple(ENTERED))]


# ---- ranges and steps


def _steps(reader: Reader, tree: Mapping_, head: _Head) -> Iterator[Steps]:
    """The stretches of a dial, one after another."""
    pieces = tree.get("steps")
    if pieces is None:
        found = _stretch(reader, tree, head)
        if found is not None:
            yield found
        return
    for key in STRETCH_KEYS:
        if tree.get(key) is not None:
            reader.fault(reader.spot_of(tree, key), f"{key} stands in each of the steps, not beside them")
    last: Steps | None = None
    for each in reader.sequence(pieces, None):
        if not isinstance(each, Mapping_):
            reader.fault(each.spot, "steps is a list of range and step")
            continue
        reader.unknown_keys(each, STRETCH_KEYS, "steps")
        found = _stretch(reader, each, head)
        if found is None:
            continue
        if last is not None and found.low != last.high:
            reader.fault(each.spot, "steps: each range begins where the one before it ends")
        last = found
        yield found
    if last is None and not reader.problems:
        reader.fault(pieces.spot, "steps is a list of range and step")


def _stretch(reader: Reader, tree: Mapping_, head: _Head) -> Steps | None:
    ends, step = reader.text(tree, "range"), reader.text(tree, "step")
    if ends is None or step is None:
        return None
    is_ratio = head.keys[0].endswith("I:E")
    shape = "1:LOW to 1:HIGH" if is_ratio else "LOW to HIGH, numbers in the unit"
    parts = [_dial_number(part, is_ratio) for part in ends.split(" to ")]
    if len(parts) != 2 or parts[0] is None or parts[1] is None:
        reader.fault(reader.spot_of(tree, "range"), f"range is {shape}, not {ends}")
        return None
    size = _plain_number(step)
    low, high = parts[0], parts[1]
    if size is None or size <= 0:
        reader.fault(reader.spot_of(tree, "step"), f"step is a number above zero, in the unit of the range, not {step}")
        return None
    if low > high:
        turned = " to ".join(reversed(ends.split(" to ")))
        reader.fault(reader.spot_of(tree, "range"), f"range: {ends} runs backwards; {turned}?")
        return None
    if (high - low) % size:
        reader.fault(reader.spot_of(tree, "range"), f"range: steps of {step} from {ends.split(' to ')[0]} miss its end")
        return None
    return Steps(low, high, size)


def _plain_number(text: str) -> Fraction | None:
    return Fraction(text) if _NUMBER.fullmatch(text.strip()) else None


def _dial_number(text: str, is_ratio: bool) -> Fraction | None:
    if not is_ratio:
        return _plain_number(text)
    read = _RATIO.fullmatch(text.strip())
    if read is None or not Fraction(read[1]) or not Fraction(read[2]):
        return None
    return Fraction(read[2]) / Fraction(read[1])


def _near(reader: Reader, tree: Mapping_) -> Fraction:
    text = reader.text(tree, "near enough", needed=False)
    if text is None:
        return Fraction(0)
    found = _plain_number(text)
    if found is None or found < 0 or tree.get("scale") is not None:
        told = "near enough is a number of 0 or more, in the unit of the range; a scale has none"
        reader.fault(reader.spot_of(tree, "near enough"), told)
        return Fraction(0)
    return found


# ---- scales


def _choices(reader: Reader, tree: Mapping_, head: _Head) -> Iterator[Choice]:
    """The places of a scale, each with what it means."""
    scale = tree.get("scale")
    if not isinstance(scale, Mapping_) or not scale.items:
        spot = scale.spot if scale is not None else tree.spot
        reader.fault(spot, "scale is a mapping from what stands on the ventilator to what it means in the notation")
        return
    for key in ("unit", *STRETCH_KEYS):
        if tree.get(key) is not None:
            reader.fault(reader.spot_of(tree, key), f"{key} has no meaning beside a scale")
    seen: set[object] = set()
    for key_, value in scale.items:
        if not isinstance(value, Scalar):
            reader.fault(value.spot, f"scale: what {key_.text} means must be text")
            continue
        choice = _choice(reader, " ".join(key_.text.split()), value, head)
        if choice is None:
            continue
        meant = choice.words or choice.value
        if meant in seen:
            reader.fault(value.spot, f"scale: {choice.means} stands twice")
        seen.add(meant)
        yield choice


def _choice(reader: Reader, name: str, value: Scalar, head: _Head) -> Choice | None:
    means = " ".join(value.text.split())
    if not _is_numeric(head):
        return _words_choice(reader, name, means, value, head)
    number, _, symbol = means.partition(" ")
    size = _dial_number(number, head.keys[0].endswith("I:E"))
    unit = find_unit(symbol) if symbol else PLAIN
    fits = unit is not None and unit.dimension == head.units[0].dimension and (bool(symbol) or head.units[0] is PLAIN)
    if size is None or unit is None or not fits:
        example = head.units[0].symbol
        reader.fault(value.spot, f"scale: {means} is no number with its unit, such as {example or '1:2'}")
        return None
    exact = 1 / size if head.keys[0].endswith("I:E") else to_base(size, unit)
    return Choice(name, means, exact)


def _words_choice(reader: Reader, name: str, means: str, value: Scalar, head: _Head) -> Choice | None:
    assert head.term is not None
    known = tuple(word for slot in head.term.slots for word in slot.words) or ("on", "off")
    words = [each.strip() for each in means.split(",")]
    for word in words:
        if word not in known:
            reader.fault(value.spot, f"scale: {head.keys[0]} has no word {word}", near(word, known))
            return None
    return Choice(name, means, None, frozenset(words))

"""A profile's tree to a typed profile. Every fault is told at its place; a profile with a fault does not load."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from rxlint.expressions.problems import near
from rxlint.packs.dial_load import read_dial
from rxlint.packs.pack import PackProblem
from rxlint.packs.profile import Dial, Needed, Profile
from rxlint.packs.reading import Reader
from rxlint.packs.yaml_tree import Mapping_, Refused, Scalar, Tree, read_file, read_tree
from rxlint.vocabulary import vocabulary

PROFILE_KEYS: Final = ("profile", "revision", "summary", "limbs", "modes", "settings", "alarms", "must be set")
NEEDED_KEYS: Final = ("name", "ask", "modes")


def load_profile(path: Path, shown: str | None = None) -> tuple[Profile | None, tuple[PackProblem, ...]]:
    """Load a profile's file; (None, problems) where it can't be used. Never raises for what the file holds."""
    name = shown or str(path)
    text = read_file(path, name)
    if isinstance(text, PackProblem):
        return None, (text,)
    return load_profile_text(text, name)


def load_profile_text(text: str, path: str) -> tuple[Profile | None, tuple[PackProblem, ...]]:
    """Load a profile from its text; (None, problems) where it can't be used."""
    try:
        tree = read_tree(text, path)
    except Refused as error:
        return None, (error.problem,)
    reader = Reader(path)
    profile = read_profile(reader, tree, hashlib.sha256(text.encode("utf-8")).hexdigest()[:32])
    return (None, reader.told()) if reader.problems else (profile, ())


def read_profile(reader: Reader, tree: Tree, digest: str) -> Profile | None:
    """A profile from its tree; None where it is no mapping. Its faults are the reader's."""
    if not isinstance(tree, Mapping_):
        reader.fault(tree.spot, f"a profile is a mapping with the keys {', '.join(PROFILE_KEYS)}")
        return None
    reader.unknown_keys(tree, PROFILE_KEYS, "a profile")
    reader.needed(tree, ("limbs", "modes", "settings"))
    revision = reader.revision(tree)
    limbs = vocabulary().sections["circuit"].terms["limb"].slots[0].words
    profile = Profile(
        " ".join((reader.text(tree, "profile") or "").split()),
        revision,
        reader.text(tree, "summary") or "",
        reader.path,
        digest,
        tuple(_names(reader, tree.get("limbs"), limbs, "limb")),
        tuple(_names(reader, tree.get("modes"), tuple(vocabulary().modes), "mode")),
        tuple(_dials(reader, tree, "settings")),
        tuple(_dials(reader, tree, "alarms")),
        tuple(_needed(reader, tree)),
    )
    own = {code for code, _ in profile.modes}
    _modes_are_there(reader, tree, own)
    return profile


def _names(reader: Reader, tree: Tree | None, known: tuple[str, ...], what: str) -> Iterator[tuple[str, str]]:
    """What the notation's words are called on site."""
    if tree is None:
        return
    if not isinstance(tree, Mapping_) or not tree.items:
        reader.fault(tree.spot, f"{what}s is a mapping from each {what} of the notation to its name on site")
        return
    for key, value in tree.items:
        if key.text not in known:
            reader.fault(key.spot, f"there is no {what} {key.text}", near(key.text, known))
        if not isinstance(value, Scalar) or not value.text.strip():
            reader.fault(value.spot, f"the name of {key.text} must be text")
            continue
        yield key.text, " ".join(value.text.split())


def _dials(reader: Reader, tree: Mapping_, section: str) -> Iterator[Dial]:
    """The dials of a section; one that enters what another does in the same mode would leave nobody sure."""
    before: dict[str, list[Dial]] = {}
    for each in reader.sequence(tree.get(section), None):
        dial = read_dial(reader, each, section)
        if dial is None:
            continue
        for key in dial.keys:
            if any(_share(dial, other) for other in before.get(key, ())):
                reader.fault(dial.spot, f"{key} is set by two entries in the same mode")
            before.setdefault(key, []).append(dial)
        yield dial


def _share(one: Dial, other: Dial) -> bool:
    return one.modes is None or other.modes is None or bool(one.modes & other.modes)


def _needed(reader: Reader, tree: Mapping_) -> Iterator[Needed]:
    for each in reader.sequence(tree.get("must be set"), None):
        if not isinstance(each, Mapping_):
            reader.fault(each.spot, "what must be set is a mapping with name and ask")
            continue
        reader.unknown_keys(each, NEEDED_KEYS, "what must be set")
        name, ask = reader.text(each, "name"), reader.text(each, "ask")
        modes = read_modes(reader, each)
        if name is not None and ask is not None:
            yield Needed(name, ask, modes)


def read_modes(reader: Reader, tree: Mapping_) -> frozenset[str] | None:
    """The modes that an entry holds in; None for all of them."""
    listed = reader.sequence(tree.get("modes"), None)
    return frozenset(each.text for each in listed if isinstance(each, Scalar)) or None


def _modes_are_there(reader: Reader, tree: Mapping_, own: Iterable[str]) -> None:
    """Fault every mode of an entry that the ventilator does not have."""
    known = sorted(own)
    for section in ("settings", "alarms", "must be set"):
        for entry in reader.sequence(tree.get(section), None):
            if not isinstance(entry, Mapping_):
                continue
            for each in reader.sequence(entry.get("modes"), None):
                if not isinstance(each, Scalar) or each.text not in known:
                    told = each.text if isinstance(each, Scalar) else "this"
                    reader.fault(each.spot, f"modes: {told} is no mode of this ventilator", near(told, known))

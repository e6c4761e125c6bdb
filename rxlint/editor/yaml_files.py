"""Files of rules as they are written: packs, policies, ventilator profiles and settings; and every fault at its place.

A file that is none of these is somebody else's, and nothing is told of it. Only the file itself is loaded, never all
packs; what it may refer to is given.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from rxlint.editor.shapes import Mark
from rxlint.editor.yaml_outline import keys_of
from rxlint.editor.yaml_places import Places
from rxlint.editor.yaml_schema import Kind
from rxlint.library.settings import NAME, settings_of_text
from rxlint.model.names import NameTable, base_names
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.load import PACK_KEYS, POLICY_KEYS, defined_in, load_text
from rxlint.packs.pack import Defined, Level, Pack, PackProblem, Rule
from rxlint.packs.profile import Profile
from rxlint.packs.profile_load import PROFILE_KEYS, load_profile_text
from rxlint.packs.yaml_tree import MAX_BYTES, Mapping_, Refused, Scalar, Tree, read_tree
from rxlint.screening.cases import CaseResult
from rxlint.screening.pack_review import review
from rxlint.screening.ruleset import ConflictError
from rxlint.text import printable

MOST_CASES: Final = 60
"""Cases of a pack that are run while it is written: more would take longer than a second or so."""

_ENOUGH: Final = 3  # keys that tell whose file it is, where the one that names it is missing
_REPAIRS: Final = 3  # lines that are left out so that the rest can be read
_LARGE: Final = 40_000  # characters of a file in which one has to do: each reading takes a while
_TOP: Final = re.compile(
    r"""^\ufeff?("[^"\n]*"|'[^'\n]*'|[^\s"'\#\-\[{&*!|>%@][^:\n]*):(?=[ \t\r\n]|$)""", re.MULTILINE | re.VERBOSE
)  # keys at the margin, where nothing but a text in quotation marks can hold something that looks like one
_SURROGATE: Final = re.compile("[\ud800-\udfff]")


@dataclass(frozen=True)
class YamlFile:
    """A file as it stands. ``known`` are the packs that it may refer to (None: the built-in ones), ``beside`` the names
    of files that settings may name, ``named_as`` what the settings of its folder take it for.
    """

    path: Path
    text: str
    known: tuple[Pack, ...] | None = None
    beside: tuple[str, ...] = ()
    named_as: Kind | None = None

    @property
    def is_too_large(self) -> bool:
        """Whether it is larger than anything that is read."""
        return len(self.text) > MAX_BYTES

    def has_same(self, other: YamlFile) -> bool:
        """Whether everything that is told of a file would be told of another: its text, and what it may refer to."""
        packs = [(pack.name, pack.digest) for pack in self.packs], [(pack.name, pack.digest) for pack in other.packs]
        own = (self.path, self.text, self.beside, self.named_as)
        return own == (other.path, other.text, other.beside, other.named_as) and packs[0] == packs[1]

    @cached_property
    def kind(self) -> Kind | None:
        """What kind of file it is; None where it is none of ours."""
        if self.path.name == NAME:
            return "settings"
        keys = [each.rstrip().strip("\"'") for each in _TOP.findall(self.text)]
        if any(key in POLICY_KEYS for key in keys) and _is_of(keys, "pack", (*PACK_KEYS, *POLICY_KEYS)):
            return "policy"
        if _is_of(keys, "pack", PACK_KEYS):
            return "pack"
        return "profile" if _is_of(keys, "profile", PROFILE_KEYS) else self.named_as

    @cached_property
    def keys(self) -> Mapping[tuple[str | int, ...], Sequence[str]]:
        """The keys of every mapping, as far as the text can be followed."""
        return keys_of(self.text)

    @property
    def packs(self) -> tuple[Pack, ...]:
        """The packs that it may refer to."""
        return self.known if self.known is not None else builtin_packs()

    @cached_property
    def tree(self) -> Tree | Refused:
        """Its tree, or why it has none."""
        return _tree(self.text)

    @cached_property
    def rough(self) -> Tree | None:
        """Its tree; of a text that can't be read, without the lines that stand in the way."""
        text, tree = self.text, self.tree
        for _ in range(_REPAIRS if len(text) < _LARGE else 1):
            if not isinstance(tree, Refused):
                return tree
            lines = text.split("\n")
            number = min(tree.problem.line, len(lines))
            while number > 1 and not lines[number - 1].strip():
                number -= 1
            lines[number - 1] = ""
            text = "\n".join(lines)
            tree = _tree(text)
        return None if isinstance(tree, Refused) else tree

    @cached_property
    def loaded(self) -> tuple[Pack | Profile | None, tuple[PackProblem, ...]]:
        """The pack or the profile, or what keeps it from being used."""
        if not self.text.strip() or _SURROGATE.search(self.text):
            return None, ()
        if self.kind == "profile":
            return load_profile_text(self.text, self.path.name)
        return load_text(self.text, self.path.name, self.known)

    @cached_property
    def _own(self) -> tuple[NameTable, Mapping[str, Defined]]:
        if self.kind in ("pack", "policy") and isinstance(self.rough, Mapping_):
            define, name = self.rough.get("define"), self.rough.get("pack")
            if define is not None:  # and not the pack: it can't be used while an expression is being written
                return defined_in(define, name.text.strip() if isinstance(name, Scalar) else "")
        return base_names(), {}

    @property
    def names(self) -> NameTable:
        """The names that its expressions may use, its own terms among them."""
        return self._own[0]

    @property
    def defined(self) -> Mapping[str, Defined]:
        """The terms that it defines, by key, as far as these can be read."""
        return self._own[1]

    @cached_property
    def marks(self) -> tuple[Mark, ...]:
        """What ``yaml_marks`` tells of it."""
        return _marks(self)

    @cached_property
    def places(self) -> Places:
        """Its lines, to say where something stands."""
        return Places(self.text)

    @cached_property
    def rules(self) -> Mapping[str, Rule]:
        """The rules that it may refer to, and its own as far as it loads, by id."""
        found = {rule.id: rule for pack in self.packs for rule in _rules(pack)}
        own = self.loaded[0] if self.kind in ("pack", "policy") else None
        return {**found, **{rule.id: rule for rule in _rules(own)}} if isinstance(own, Pack) else found


def yaml_marks(file: YamlFile) -> tuple[Mark, ...]:
    """What there is to tell of a file, in its order: every fault; where it has none, cases that are not what they say,
    and what a review of the pack finds. The cases of large packs are left to ``rxlint test-pack``.
    """
    return file.marks if file.kind != "settings" else _marks(file)  # what settings name may come and go


def _marks(file: YamlFile) -> tuple[Mark, ...]:
    if file.kind is None or not file.text.strip():
        return ()
    half = _SURROGATE.search(file.text)
    if half is not None:
        place = file.places.of_offset(half.start())
        return (Mark(place, "reject", "half of a character stands here, which no file can hold"),)
    found = [_of_problem(file, each) for each in _problems(file)]
    pack = file.loaded[0] if file.kind in ("pack", "policy") and not found else None
    if isinstance(pack, Pack):
        found += _reviewed(file, pack)
    return tuple(sorted(found, key=lambda mark: (mark.place.line, mark.place.column)))


def _problems(file: YamlFile) -> tuple[PackProblem, ...]:
    if file.kind != "settings":
        return file.loaded[1]
    if file.path.is_absolute():
        return settings_of_text(file.text, file.path, file.path.name)[1]
    return (file.tree.problem,) if isinstance(file.tree, Refused) else ()


def _of_problem(file: YamlFile, problem: PackProblem) -> Mark:
    told = problem.message
    if problem.suggestions:
        told += f"; did you mean {' or '.join(problem.suggestions)}?"
    if file.kind == "settings" and problem.path != file.path.name:  # of the settings that it builds on
        return Mark(file.places.of(1, 1), "reject", printable(f"{problem.path}:{problem.line}: {told}"))
    return Mark(file.places.of(problem.line, problem.column), "reject", printable(told))


# ---- the review


def _reviewed(file: YamlFile, pack: Pack) -> Iterator[Mark]:
    rows = pack.policy.rows if pack.policy is not None else ()
    if sum(len(rule.cases) for rule in (*pack.rules, *(row.rule for row in rows))) > MOST_CASES:
        return
    try:
        found = review(pack)
    except ConflictError as error:  # its rules can't stand beside those of the packs that it uses
        yield Mark(file.places.of(1, 1), "reject", printable(str(error)))
        return
    for result in found.failures:
        yield Mark(file.places.of(result.case.spot.line, result.case.spot.column), "query", _failure(result))
    for remark in found.remarks:
        level: Level = "query" if remark.is_told and remark.is_fault else "note"
        told = remark.message if remark.is_told else f"not known: {remark.message}"
        yield Mark(file.places.of(remark.spot.line, remark.spot.column), level, printable(f"{told} [{remark.rule}]"))


def _failure(result: CaseResult) -> str:
    lines = [f"{result.case.kind}: {result.failure} [{result.rule.id}]", *result.told]
    return "\n".join(map(printable, lines))


# ---- whose file it is


def _is_of(keys: Sequence[str], name: str, known: Sequence[str]) -> bool:
    """Whether the keys at the top are those of one kind of file: the one that names it and another, or several."""
    alike = sum(key in known for key in keys)
    if name in keys:
        return alike > 1 or len(keys) == 1
    return alike >= _ENOUGH


def _rules(pack: Pack) -> Iterator[Rule]:
    yield from pack.rules
    for row in pack.policy.rows if pack.policy is not None else ():
        yield row.rule


def _tree(text: str) -> Tree | Refused:
    try:
        return read_tree(_SURROGATE.sub("?", text), "")
    except Refused as refused:
        return refused

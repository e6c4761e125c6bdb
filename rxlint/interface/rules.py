"""Under which rules documents are looked at."""

from __future__ import annotations

import threading
from typing import Final, Literal

from rxlint.interface.options import OptionError, SomePaths, kind_of, paths_of
from rxlint.interface.results import Pack, Rule
from rxlint.library.rulings import Faults, Rulings
from rxlint.model.names import base_names, derived_terms
from rxlint.packs import Pack as LoadedPack
from rxlint.screening.ruleset import builtin_rules

_SETTINGS: Final = ("nearest", "none")
# The terms and the built-in rules are made when they are first asked for, and know one another by identity: two
# threads that come first together must not make them twice.
_MAKING: Final = threading.Lock()


class Rules:
    """The built-in rules with what a site adds: read once, then for any number of documents and threads.

    ``packs``, ``policies`` (the widest first) and ``profiles`` (files of ventilators, or folders of them) are paths,
    one or several; they stand above what an ``rxlint.yaml`` names. With ``settings`` "nearest" the nearest
    ``rxlint.yaml`` of each document's folder holds too, read anew by every call; with "none", none is looked for.
    Rules that are written in Python are not run.

    Raises OptionError where a file can't be used, with every fault and its place.
    """

    __slots__ = ("_rulings",)

    def __init__(
        self,
        *,
        packs: SomePaths = (),
        policies: SomePaths = (),
        profiles: SomePaths = (),
        settings: Literal["nearest", "none"] = "nearest",
    ) -> None:
        if settings not in _SETTINGS:
            raise OptionError(f"settings is {' or '.join(map(repr, _SETTINGS))}, not {settings!r}")
        extra, above = paths_of(packs, "packs"), paths_of(policies, "policies")
        ventilators = paths_of(profiles, "profiles")
        make_once()
        try:
            self._rulings = Rulings(extra, above, nearest=settings == "nearest", profiles=ventilators)
        except Faults as faults:
            raise OptionError(str(faults)) from None


def rule_packs(rules: Rules | None = None) -> tuple[Pack, ...]:
    """The rule packs and the policies of some rules (None: the built-in ones), in their order, without what an
    ``rxlint.yaml`` adds.
    """
    found = rulings_of(rules).base
    return tuple(_pack(each) for each in found.packs)


def _pack(pack: LoadedPack) -> Pack:
    rules = tuple(
        Rule(each.id, each.pack, each.bounded(each.level), each.basis, each.title, each.because, each.source)
        for each in pack.rules
    )
    return Pack(pack.name, pack.revision, pack.summary, pack.path, pack.digest, pack.policy is not None, rules)


def rulings_of(rules: object) -> Rulings:
    """The rules of one call, which reads settings files anew: they may have changed. Raises OptionError for what is no
    ``Rules``.
    """
    if rules is None:
        make_once()
        return Rulings()
    if not isinstance(rules, Rules):
        raise OptionError(f"rules is an rxlint.Rules, not {kind_of(rules)}")
    return rules._rulings.anew()


def make_once() -> None:
    """The terms and the built-in rules, made by one thread alone."""
    make_terms_once()
    with _MAKING:
        builtin_rules()


def make_terms_once() -> None:
    """The terms, made by one thread alone; for what needs no rules, which take longer."""
    with _MAKING:
        base_names()
        derived_terms()

"""Under which rules each document is screened: the built-in ones, and what its settings and the command line add.

Rules are prepared once for each distinct set of packs and policies. A fault in the settings of a folder keeps its
documents from being screened, and no others.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rxlint.extension.discover import PythonRules
from rxlint.library.places import find_settings, shown_path
from rxlint.packs.builtin import builtin_packs
from rxlint.packs.load import load_pack
from rxlint.packs.pack import Pack, PackProblem
from rxlint.packs.stack import stack
from rxlint.screening.ruleset import ConflictError, RuleSet, builtin_rules, prepare_stack
from rxlint.text import Problem

if TYPE_CHECKING:
    from rxlint.library.index import View
    from rxlint.library.known import KnownList
    from rxlint.library.roots import Libraries
    from rxlint.library.settings import Named, Settings
    from rxlint.packs.profile import Profile

_MOST_FAULTS: Final = 5  # told for each document


class Faults(ValueError):
    """Packs or policies can't be used: what can't, and where and why, one fault each."""

    def __init__(self, told: Sequence[str], what: str = "") -> None:
        super().__init__("\n".join([f"{what} can't be used:", *told] if what else told))
        self.told = tuple(told)


@dataclass(frozen=True, slots=True)
class Ruling:
    """What a document is screened under: rules, or the faults that keep it from being screened."""

    rules: RuleSet | None
    settings: Settings | None = None
    known: KnownList | None = None
    problems: tuple[Problem, ...] = ()


class Rulings:
    """The rules of a run. ``nearest`` says whether settings files are read; ``python`` are rules of extensions,
    ``known`` a list of known findings for all documents, whatever their settings name; ``profiles`` are files of
    ventilator profiles, or folders of them, which stand above those of the settings. What is named by a relative path
    is looked for in ``folder``, the current one where none is given, and told by the path as it was given.

    Raises Faults where a pack, a policy or a list of the command line can't be used.
    """

    def __init__(
        self,
        packs: Sequence[str] = (),
        policies: Sequence[str] = (),
        *,
        nearest: bool = True,
        python: PythonRules = PythonRules(),  # noqa: B008 - it can't be changed
        known: str | None = None,
        profiles: Sequence[str] = (),
        folder: Path = Path(),
    ) -> None:
        self._known = _known_list(folder / known, known) if known is not None else None
        self._nearest = nearest
        self.unloaded = python.failures
        self._packs = (*builtin_packs(), *python.packs)
        self._above: tuple[Pack, ...] = ()
        self._libraries: Libraries | None = None
        self._by_folder: dict[Path, Ruling] = {}
        self._by_settings: dict[Path | None, Ruling] = {}
        self._prepared: dict[tuple[tuple[str, str], ...], RuleSet] = {}
        self._profiles = _profiles([(folder / each, each) for each in profiles]) if profiles else ()
        further = _loaded([(folder / each, each) for each in packs], self._packs, False)
        self._packs = (*self._packs, *further)
        self._above = _loaded([(folder / each, each) for each in policies], self._packs, True)
        if packs or policies or python.packs:  # a fault is told before anything is screened
            self._rules((), ())

    def anew(self, *, nearest: bool = True) -> Rulings:
        """The same for another run, which reads the settings anew; none where ``nearest`` is False. What was prepared
        from files of the same content is shared.
        """
        other = copy(self)
        other._nearest = self._nearest and nearest
        other._libraries, other._by_folder, other._by_settings = None, {}, {}
        return other

    @property
    def base(self) -> RuleSet:
        """The rules of documents without settings; prepared when the first of these comes."""
        return self._rules((), ())

    def of_folder(self, folder: Path) -> Ruling:
        """The ruling of the documents in a folder."""
        if not self._nearest:
            return Ruling(self.base, known=self._known)
        known = self._by_folder.get(folder)
        if known is None:
            path = find_settings(folder)
            if path not in self._by_settings:
                self._by_settings[path] = (
                    Ruling(self.base, known=self._known) if path is None else self._of_settings(path)
                )
            known = self._by_folder[folder] = self._by_settings[path]
        return known

    def library(self, path: Path, searched: Path | None = None, *, is_file: bool = True) -> View | None:
        """The library that a document stands in, as ``Libraries.view``; None where settings are not read."""
        if not self._nearest:
            return None
        if self._libraries is None:
            from rxlint.library.roots import Libraries

            self._libraries = Libraries()
        return self._libraries.view(path, self.of_folder(path.parent).settings, searched, is_file=is_file)

    def of_settings(self, settings: Settings | None) -> RuleSet:
        """The rules under a document's settings; the common ones where there are none, or they have a fault."""
        return self.of_settings_file(settings.path if settings is not None else None)

    def of_settings_file(self, path: Path | None) -> RuleSet:
        """The same, by where the settings stand."""
        known = self._by_settings.get(path) if path is not None else None
        return known.rules if known is not None and known.rules is not None else self.base

    def used(self) -> list[RuleSet]:
        """Every set of rules that documents were screened under so far; the common one where there is no other."""
        found = [each.rules for each in self._by_folder.values() if each.rules is not None] or [self.base]
        return list({id(each): each for each in found}.values())

    def _of_settings(self, path: Path) -> Ruling:
        from rxlint.library.settings import read_settings

        settings, problems = read_settings(path, shown_path(path))
        if settings is None:
            return Ruling(None, None, problems=_problems([str(each) for each in problems]))
        try:
            layers = settings.layers  # the widest first
            packs = _loaded(_files(each for layer in layers for each in layer.packs), self._packs, False)
            named_policies = _files(each for layer in layers for each in layer.policies)
            policies = _loaded(named_policies, (*self._packs, *packs), True)
            lists = [layer.known_findings for layer in layers if layer.known_findings is not None]
            named = lists[-1] if lists else None
            known = self._known or (_known_list(named.path, named.shown) if named is not None else None)
            rules = self._rules(packs, policies)
            if any(layer.profiles for layer in layers):
                from rxlint.library.profiles import together

                profiles = self._profiles
                for layer in reversed(layers):  # of two with one name, the nearest counts
                    profiles = together(profiles, _profiles(_files(layer.profiles), layer.path.parent))
                rules = replace(rules, profiles=profiles)
            return Ruling(rules, settings, known=known)
        except Faults as faults:
            return Ruling(None, settings, problems=_problems(faults.told))

    def _rules(self, packs: Sequence[Pack], policies: Sequence[Pack]) -> RuleSet:
        """The rules of further packs and policies over the common ones. Raises Faults."""
        given = {(pack.name, pack.digest) for pack in self._packs}
        further = [pack for pack in packs if (pack.name, pack.digest) not in given]  # named here and there: one pack
        key = tuple((pack.path, pack.digest) for pack in (*further, *policies))
        if key not in self._prepared:
            stacked, problems = stack((*self._packs, *further), policies, self._above)
            if stacked is None:
                raise Faults([str(each) for each in problems], "these policies together")
            try:
                is_plain = not policies and not self._above and stacked.packs == builtin_packs()
                ready = builtin_rules() if is_plain else prepare_stack(stacked)
                if self.unloaded or self._profiles:
                    ready = replace(ready, unloaded=self.unloaded, profiles=self._profiles)
                self._prepared[key] = ready
            except ConflictError as error:
                raise Faults([str(error)]) from None
        return self._prepared[key]


def _loaded(files: Sequence[tuple[Path, str]], known: Sequence[Pack], as_policy: bool) -> tuple[Pack, ...]:
    """Packs of files; of policies, each may refer to those before it. Raises Faults, with those of all the files."""
    found: list[Pack] = []
    faults: list[str] = []
    for path, shown in files:
        pack, problems = load_pack(path, shown, (*known, *found))
        if pack is not None and pack.policy is not None and not as_policy:
            problems = (PackProblem(shown, 1, 1, "is a policy: name it as one, not as a pack"),)
        faults += map(str, problems)
        if pack is not None:
            found.append(pack)
    if faults:
        raise Faults(faults, "a policy" if as_policy else "a rule pack")
    return tuple(found)


def _profiles(files: Sequence[tuple[Path, str]], root: Path | None = None) -> tuple[Profile, ...]:
    """The ventilator profiles of files and folders. Raises Faults, with those of all the files."""
    from rxlint.library.profiles import read_profiles

    found, problems = read_profiles(files, root)
    if problems:
        raise Faults([str(each) for each in problems], "a ventilator profile")
    return found


def _known_list(path: Path, shown: str) -> KnownList:
    """A list of known findings. Raises Faults where it can't be used."""
    from rxlint.library.known import KnownList, read_known

    known, problems = read_known(path, shown)
    if known is None:
        raise Faults([str(each) for each in problems], "a list of known findings")
    return KnownList(known, path.parent)


def _files(named: Iterable[Named]) -> list[tuple[Path, str]]:
    """The files, each once: where settings and those that they build on name the same one, it is one."""
    found: dict[Path, str] = {}
    for each in named:
        found.setdefault(each.path, each.shown)
    return list(found.items())


def _problems(told: Sequence[str]) -> tuple[Problem, ...]:
    more = [f"and {len(told) - _MOST_FAULTS} more faults"] if len(told) > _MOST_FAULTS else []
    return tuple(Problem(each) for each in (*told[:_MOST_FAULTS], *more))

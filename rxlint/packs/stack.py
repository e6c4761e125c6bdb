"""Several policies as one: the widest first, the nearest last. Pure: packs in, packs out.

All rows of one policy apply. A nearer policy replaces a row by its id alone, and a final row not at all. Whatever is
loosened on the way is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rxlint.expressions import keys_in
from rxlint.packs.changed import changed_level, changed_row, changed_term
from rxlint.packs.loosening import level_loosened, loosened, says_the_same, strictest
from rxlint.packs.pack import Defined, LevelChange, Origin, Pack, PackProblem, PolicyRow, Rule, Spot, TermChange


@dataclass(frozen=True, slots=True)
class PolicyUse:
    """A policy of a run: what it loosens, and what of it does not hold, for a policy that stands above it decides."""

    name: str
    revision: int
    path: str
    digest: str
    loosens: tuple[str, ...] = ()
    overruled: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stack:
    """Packs as their policies leave them, ready to be prepared.

    ``must_check`` and ``never_accepted`` name the policy that asks, by rule; ``changed`` by the key of a defined term.
    ``before`` is, by the same key, the term as its pack defines it.
    """

    packs: tuple[Pack, ...]
    policies: tuple[PolicyUse, ...] = ()
    must_check: Mapping[str, Origin] = field(default_factory=dict)
    never_accepted: Mapping[str, str] = field(default_factory=dict)
    changed: Mapping[str, Origin] = field(default_factory=dict)
    before: Mapping[str, Defined] = field(default_factory=dict)


@dataclass(slots=True)
class _Layers:
    """What some policies say together; ``loosens`` and ``overruled`` by the policy's path."""

    policies: tuple[Pack, ...]
    left_out: tuple[Pack, ...] = ()  # another of the same name stands above them
    rows: dict[str, tuple[Pack, PolicyRow]] = field(default_factory=dict)
    levels: dict[str, tuple[Pack, LevelChange]] = field(default_factory=dict)
    terms: dict[str, tuple[Pack, TermChange]] = field(default_factory=dict)
    replaced: dict[str, str] = field(default_factory=dict)  # by a row's id, what it made of a wider policy's row
    loosens: dict[str, list[str]] = field(default_factory=dict)
    overruled: dict[str, list[str]] = field(default_factory=dict)
    problems: list[PackProblem] = field(default_factory=list)


def stack(
    packs: Sequence[Pack], policies: Sequence[Pack], above: Sequence[Pack] = ()
) -> tuple[Stack | None, tuple[PackProblem, ...]]:
    """The packs under some policies, from the widest to the nearest; (None, problems) where these can't stand together.

    ``above`` are policies that nothing in ``policies`` can replace or loosen; they too go from the widest on.
    """
    firm = _layered(packs, above)
    own = _layered(packs, policies, firm)
    policies = own.policies
    problems = (*_same_names((*policies, *above)), *own.problems, *firm.problems)
    if problems:
        return None, problems
    ready = _applied(packs, own, firm)
    rings = _rings(ready, own, firm)
    if rings:
        return None, rings
    both = (*policies, *above)
    uses = tuple(_use(pack, layers) for layers in (own, firm) for pack in (*layers.policies, *layers.left_out))
    original = {key: each for pack in packs for key, each in pack.defined.items()}
    changed = _changed(original, own, firm)
    before = {key: original[key] for key in changed if key in original}
    return Stack(ready, uses, _must_check(ready, both), _never(both), changed, before), ()


def _same_names(policies: Sequence[Pack]) -> Iterator[PackProblem]:
    seen: dict[str, Pack] = {}
    for pack in policies:
        first = seen.setdefault(pack.name, pack)
        if first is not pack:
            yield PackProblem(pack.path, 1, 1, f"{pack.name} is the name of two policies: of {first.path} too")


# ---- one policy over another


def _layered(packs: Sequence[Pack], policies: Sequence[Pack], firm: _Layers | None = None) -> _Layers:
    """The policies over each other; what ``firm`` says too is left to it."""
    above = {pack.name: pack for pack in firm.policies} if firm is not None else {}
    layers = _Layers(tuple(pack for pack in policies if pack.name not in above))
    for pack in policies:
        twin = above.get(pack.name)
        if twin is not None and twin.digest != pack.digest:  # the same policy named twice is no attempt at anything
            layers.left_out = (*layers.left_out, pack)
            _overruled(layers, pack, f"all of it: another {pack.name}, revision {twin.revision}, stands above it")
    rules = {rule.id: rule for pack in (*packs, *layers.policies) for rule in pack.rules}
    for pack in layers.policies:
        for row in pack.policy.rows if pack.policy else ():
            _add_row(layers, pack, row, rules, firm)
        for level in pack.policy.levels if pack.policy else ():
            _add_level(layers, pack, level, rules, firm)
        for term in pack.policy.terms if pack.policy else ():
            _add_term(layers, pack, term, firm)
    return layers


def _add_row(layers: _Layers, pack: Pack, row: PolicyRow, rules: Mapping[str, Rule], firm: _Layers | None) -> None:
    identifier = row.rule.id
    before = layers.rows.get(identifier)
    above = firm.rows.get(identifier) if firm is not None else None
    if identifier in rules:
        told = f"{identifier} is a rule of {rules[identifier].pack} already"
        layers.problems.append(_problem(pack, row.rule.spot, told))
    elif above is not None:
        if not says_the_same(row, above[1]):
            _overruled(layers, pack, f"{identifier}: {above[0].name} decides")
    elif _may_replace(layers, pack, row.rule.spot, before, identifier):
        if before is not None:
            _loosens(layers, pack, loosened(before[1], row))
            layers.replaced[identifier] = changed_row(row, before[1], before[0])
        layers.rows[identifier] = (pack, row)


def _add_level(
    layers: _Layers, pack: Pack, change: LevelChange, rules: Mapping[str, Rule], firm: _Layers | None
) -> None:
    before = layers.levels.get(change.rule)
    above = firm.levels.get(change.rule) if firm is not None else None
    if above is not None:
        if change.level != above[1].level:
            told = f"the level of {change.rule}: {above[0].name} sets {above[1].level}, not {change.level}"
            _overruled(layers, pack, told)
    elif _may_replace(layers, pack, change.spot, before, f"the level of {change.rule}"):
        was = before[1].level if before is not None else strictest(rules[change.rule])
        _loosens(layers, pack, level_loosened(change.rule, was, change.level))
        layers.levels[change.rule] = (pack, change)


def _add_term(layers: _Layers, pack: Pack, term: TermChange, firm: _Layers | None) -> None:
    what = f"{term.name} of {term.pack}"
    above = firm.terms.get(term.key) if firm is not None else None
    if above is not None:
        if term.node != above[1].node:
            _overruled(layers, pack, f"{what}: {above[0].name} sets {above[1].text}, not {term.text}")
    elif _may_replace(layers, pack, term.spot, layers.terms.get(term.key), what):
        _loosens(layers, pack, [f"{what}: {term.text}"])
        layers.terms[term.key] = (pack, term)


def _may_replace(
    layers: _Layers,
    pack: Pack,
    spot: Spot,
    before: tuple[Pack, PolicyRow | LevelChange | TermChange] | None,
    what: str,
) -> bool:
    """Whether something that a wider policy says may be said anew; a problem with both places where it is final."""
    if before is None or not before[1].final:
        return True
    wider, first = before
    line = (first.rule.spot if isinstance(first, PolicyRow) else first.spot).line
    told = f"{what} is final in {wider.name} ({wider.path}:{line}) and can't be replaced"
    layers.problems.append(_problem(pack, spot, told))
    return False


def _problem(pack: Pack, spot: Spot, told: str) -> PackProblem:
    return PackProblem(pack.path, spot.line, spot.column, told)


def _loosens(layers: _Layers, pack: Pack, told: Iterable[str]) -> None:
    layers.loosens.setdefault(pack.path, []).extend(told)


def _overruled(layers: _Layers, pack: Pack, told: str) -> None:
    layers.overruled.setdefault(pack.path, []).append(told)


# ---- what comes out


def _applied(packs: Sequence[Pack], *both: _Layers) -> tuple[Pack, ...]:
    levels = {rule: each for layers in both for rule, each in layers.levels.items()}
    terms = {key: each for layers in both for key, each in layers.terms.items()}
    made = [replace(pack, defined=_defined(pack, terms)) if terms else pack for pack in packs]
    for layers in both:
        for pack in layers.policies:
            own = tuple(_marked(rule, pack) for rule in pack.rules)
            rows = tuple(_row(row.rule, layers) for maker, row in layers.rows.values() if maker is pack)
            made.append(replace(pack, rules=(*own, *rows)))
    return tuple(
        replace(pack, rules=tuple(_levelled(rule, levels.get(rule.id)) for rule in pack.rules)) for pack in made
    )


def _row(rule: Rule, layers: _Layers) -> Rule:
    """A row as a rule, with what it made of the row that it replaces."""
    change = layers.replaced.get(rule.id)
    if change is None:
        return rule
    return _with(rule, origins=tuple(replace(each, change=change) for each in rule.origins))


def _marked(rule: Rule, pack: Pack) -> Rule:
    """A rule that a policy lists under ``rules``, with where it comes from."""
    return _with(rule, origins=(Origin(pack.name, pack.revision, pack.path, rule.spot.line),))


def _levelled(rule: Rule, change: tuple[Pack, LevelChange] | None) -> Rule:
    """A rule at the level that a policy sets, in every case: stricter cases of its own no longer count."""
    if change is None:
        return rule
    pack, level = change
    change_told = changed_level(rule, level.level)
    origin = Origin(pack.name, pack.revision, pack.path, level.spot.line, "level", change_told)
    return _with(
        rule,
        level=level.level,
        stricter=(),
        level_where_allowed=None,
        level_is_policy=True,
        origins=(*rule.origins, origin),
    )


def _with(rule: Rule, **fields: object) -> Rule:
    """A rule and its parts with some fields changed."""
    parts = tuple(replace(part, **fields) for part in rule.parts)  # type: ignore[arg-type]
    return replace(rule, **{**fields, "parts": parts})  # type: ignore[arg-type]


def _defined(pack: Pack, terms: Mapping[str, tuple[Pack, TermChange]]) -> Mapping[str, Defined]:
    return {
        key: replace(each, node=terms[key][1].node, source=f"{terms[key][0].name}: {terms[key][1].because}")
        if key in terms
        else each
        for key, each in pack.defined.items()
    }


def _rings(packs: Sequence[Pack], *both: _Layers) -> tuple[PackProblem, ...]:
    """Terms that policies define by way of themselves."""
    defined = {key: each.node for pack in packs for key, each in pack.defined.items()}
    found: list[PackProblem] = []
    for layers in both:
        for key, (pack, term) in layers.terms.items():
            seen: set[str] = set()
            waiting = list(keys_in(term.node))
            while waiting:
                each = waiting.pop()
                if each not in seen and each in defined:
                    seen.add(each)
                    waiting += keys_in(defined[each])
            if key in seen:
                found.append(_problem(pack, term.spot, f"{term.name} of {term.pack} would be defined by itself"))
    return tuple(found)


def _must_check(packs: Sequence[Pack], policies: Sequence[Pack]) -> dict[str, Origin]:
    asked: dict[str, Origin] = {}
    for pack in policies:
        for mention in pack.policy.must_check if pack.policy else ():
            origin = Origin(pack.name, pack.revision, pack.path, mention.spot.line, "check")
            for rule in (rule for each in packs for rule in each.rules):
                if mention.name in (rule.id, rule.area):
                    asked.setdefault(rule.id, origin)
    return asked


def _never(policies: Sequence[Pack]) -> dict[str, str]:
    return {
        mention.name: pack.name for pack in policies for mention in (pack.policy.never_accepted if pack.policy else ())
    }


def _changed(original: Mapping[str, Defined], *both: _Layers) -> dict[str, Origin]:
    return {
        key: Origin(
            pack.name, pack.revision, pack.path, term.spot.line, "limit",
            changed_term(term.name, term.text, original[key].node) if key in original else "",
        )
        for layers in both
        for key, (pack, term) in layers.terms.items()
    }  # fmt: skip


def _use(pack: Pack, layers: _Layers) -> PolicyUse:
    loosens, overruled = layers.loosens.get(pack.path, ()), layers.overruled.get(pack.path, ())
    return PolicyUse(pack.name, pack.revision, pack.path, pack.digest, tuple(loosens), tuple(overruled))

"""What an order's change says that neither of its texts does: settings that moved alone, steps, signatures that stayed.

Nothing of this is asked where the two are different orders: then nobody changed one into the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from rxlint.expressions import Words
from rxlint.model.facts import Facts
from rxlint.model.names import base_names
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.normal import normal
from rxlint.notation.tree import Document, Entry
from rxlint.packs import Defined
from rxlint.screening.change import UNNAMED, Change, is_ordered_change
from rxlint.screening.change_alone import View, alone
from rxlint.screening.change_lines import is_alike
from rxlint.screening.change_scopes import Both
from rxlint.screening.values import show_number, unit_for
from rxlint.screening.walks import Found, Walk
from rxlint.vocabulary import Term

_STEP: Final = "change: largest step of "
_SET: Final = frozenset({"settings", "oxygen"})
_KINDS: Final = ("limb", "ventilator", "interface", "cuff")
_BESIDES: Final[Mapping[str, tuple[str, ...]]] = {
    "trigger": ("trigger", "trigger sensitivity"),
    "leak": ("target total leak", "target unintentional leak", "alarm high leak", "alarm low leak", "leak port flow"),
}


@dataclass(frozen=True, slots=True)
class Revisions:
    """Two revisions of a document, their periods side by side and what changed."""

    old: Document
    new: Document
    both: tuple[Both, ...]
    changes: tuple[Change, ...]

    @property
    def head(self) -> tuple[Facts, Facts] | None:
        """Facts of any period, for what holds in all of them."""
        return (self.both[0].old[0], self.both[0].new[0]) if self.both else None

    @property
    def are_one(self) -> bool:
        """Whether both may be of one order: neither says that it is another one."""
        ids = [_text(each, "document id") for each in self.head or ()]
        return None in ids or len(set(ids)) <= 1

    @property
    def ordered(self) -> tuple[Change, ...]:
        """What is ordered otherwise than before."""
        return tuple(change for change in self.changes if is_ordered_change(change))


# ---- one period


def walk_period(revisions: Revisions, both: Both, defined: Mapping[str, Defined]) -> Walk:
    """What is to be asked of the changes of one period."""
    walk = Walk()
    if not revisions.are_one:
        return walk
    own = {each.key: each for each in revisions.changes if each.is_change and _is_in(each, both)}
    for old, new in both.pairs():
        view = View(old, new, own, defined)
        _written_otherwise(view, walk)
        _alarms_lost(view, walk)
        if _is_same(view, "mode"):
            walk.ran |= {"change.alone"}
            for each in alone(view):
                related = tuple((stated.entry, f"{stated.key} is stated here") for stated in each.kept)
                fields = {"what": each.what, "kept": each.stayed, "effect": each.effect}
                walk.found.append(_at("change.alone", each.moved.entry, fields, related))
        if _is_same(view, "mode") and _is_same(view, "interface"):
            _steps(view, walk)
        _kind_of_circuit(view, walk)
    return walk


def _is_in(change: Change, both: Both) -> bool:
    return change.period is None or (both.label or UNNAMED) in change.period.split(", ")


def _is_same(view: View, key: str) -> bool:
    return view.old.constants.get(key) == view.new.constants.get(key)


def _at(event: str, entry: Entry, fields: Mapping[str, str], related: tuple[tuple[Entry, str], ...] = ()) -> Found:
    return Found(event, entry, entry.indent, len(entry.text.rstrip()), fields, related)


def _steps(view: View, walk: Walk) -> None:
    """Settings that moved further at once than a site does; one setting counts once, whatever else it moves."""
    told: set[str] = set()
    for name in view.defined:
        term = name.removeprefix(_STEP)
        if term == name or term not in base_names().types:
            continue
        values, largest = view.values(term), view.old.as_set.value(name)
        if values is None or not isinstance(largest, Fraction):
            continue
        walk.ran.add("change.large-step")
        causes = {key for key in view.new.closure((term,)) if key in view.changes and _section(view, key) in _SET}
        line = next((view.new.stated(key) for key in sorted(causes - told)), None)
        if line is None or abs(values[1] - values[0]) <= largest:
            continue
        told |= causes
        texts = {"before": view.told(term, values[0]), "after": view.told(term, values[1])}
        step = view.told(term, abs(values[1] - values[0]))
        fields = {"what": term, **texts, "step": step, "largest": view.told(term, largest)}
        walk.found.append(_at("change.large-step", line.entry, fields))


def _section(view: View, key: str) -> str:
    stated = view.new.stated(key)
    return stated.block.section if stated is not None else ""


def _written_otherwise(view: View, walk: Walk) -> None:
    """One number above another pressure, or by another weight: it looks as if nothing had changed."""
    for key, new in view.new.scope.by_key.items():
        old = view.old.scope.by_key.get(key)
        if old is None or new.statement.term is None or not _may_be_otherwise(new.statement.term):
            continue
        first, second = old.statement.values.get(""), new.statement.values.get("")
        if first is None or second is None:
            continue
        for event, was, now in (
            ("change.reference", first.reference, second.reference),
            ("change.basis", first.basis, second.basis),
        ):
            if was is None or now is None:
                continue
            walk.ran.add(event)
            if was != now and first.points == second.points and key in view.changes:
                fields = {"what": key, "before": was, "after": now, "effect": _effect(view, key)}
                walk.found.append(_at(event, new.entry, fields))


def _may_be_otherwise(term: Term) -> bool:
    """Whether a term's number says too little without its reference or its weight."""
    return term.per_weight or term.reference == "stated"


def _effect(view: View, key: str) -> str:
    values = view.values(key)
    if values is None:
        return "what that comes to can't be told here"
    return f"it goes {view.course(key, values)}{' above ambient' if key.endswith('pressure') else ''}"


def _alarms_lost(view: View, walk: Walk) -> None:
    """Alarms that were on, and are off without a reason or not there any more, under the same mode and interface."""
    if not (_is_same(view, "mode") and _is_same(view, "interface") and _is_same(view, "limb")):
        return
    alarms = {key: each for key, each in view.old.scope.by_key.items() if each.block.section == "alarms"}
    for key, before in alarms.items():
        if not _is_on(before):
            continue
        walk.ran.add("change.alarm-lost")
        after = view.new.scope.by_key.get(key)
        if after is not None and (_is_on(after) or not after.statement.readable or _reason(after)):
            continue
        if after is None and "alarms" in view.new.scope.unsure:  # a line there can't be told: it may be this one
            walk.unsure["change.alarm-lost"] = "a line of alarms could not be read"
            continue
        change = view.changes.get(key)
        entry = after.entry if after is not None else _nearest(view.new, "alarms")
        if change is not None and entry is not None:
            now = "switched off without a reason" if after is not None else "not there any more"
            fields = {"what": key, "before": change.before or "on", "now": now}
            walk.found.append(_at("change.alarm-lost", entry, fields))


def _is_on(stated: Stated) -> bool:
    body = stated.statement.body
    return stated.statement.readable and not (isinstance(body, n.State) and body.word in ("off", "no"))


def _reason(stated: Stated) -> bool:
    body = stated.statement.body
    return isinstance(body, n.State) and body.because is not None


def _nearest(facts: Facts, section: str) -> Entry | None:
    block = next((each for each in facts.scope.blocks if each.section == section), None)
    return block.entry if block is not None else next((each.entry for each in facts.scope.blocks), None)


def _kind_of_circuit(view: View, walk: Walk) -> None:
    """Another limb, ventilator, interface or cuff, while alarms, trigger and leak stayed as they were."""
    stated = [key for key in _KINDS if key in view.changes and view.old.stated(key) and view.new.stated(key)]
    moved = [key for key in stated if not _is_told_closer(view, key)]
    if not moved:
        return
    walk.ran.add("change.circuit-type")
    kept = [name for name, keys in _groups(view).items() if not any(key in view.changes for key in keys)]
    if "alarms" not in kept and not ("trigger" in kept and {"limb", "ventilator"} & {*moved}):
        return
    line = view.new.stated(moved[0])
    assert line is not None
    told = [f"{key} ({view.changes[key].before} -> {view.changes[key].after})" for key in moved]
    stayed = ", ".join(kept[:-1]) + " and " + kept[-1] if len(kept) > 1 else kept[0]
    fields = {"what": " and ".join(told), "kept": stayed}
    walk.found.append(_at("change.circuit-type", line.entry, fields))


def _is_told_closer(view: View, key: str) -> bool:
    """Whether a line only says more than before: whether a tube is cuffed, where nothing was said of it."""
    old, new = view.old.constants.get(key), view.new.constants.get(key)
    return isinstance(old, Words) and isinstance(new, Words) and bool(old.stated) and old.stated < new.stated


def _groups(view: View) -> dict[str, tuple[str, ...]]:
    """What stands or falls with the circuit, where the order states anything of it."""
    keys = [*view.old.scope.by_key, *view.new.scope.by_key]
    groups = {"alarms": tuple(key for key in keys if key.startswith("alarm "))}
    groups |= {name: tuple(key for key in group if key in keys) for name, group in _BESIDES.items()}
    return {name: group for name, group in groups.items() if group}


# ---- the document


def walk_revision(revisions: Revisions) -> Walk:
    """What the heads and signatures of the two say of the change between them."""
    walk = Walk()
    if revisions.head is None or not revisions.are_one:
        return walk
    old, new = revisions.head
    _order(old, new, walk)
    _other_patient(old, new, walk)
    if revisions.ordered:
        what = _listed(revisions.ordered)
        _revision_kept(old, new, what, walk)
        _unsigned(old, new, what, walk)
        _checked_kept(revisions, what, walk)
    return walk


def _listed(changes: Sequence[Change]) -> str:
    """The changed terms, the first few by name."""
    terms = list(dict.fromkeys(change.key or change.term for change in changes))
    more = f" and {len(terms) - 3} more" if len(terms) > 3 else ""
    return ", ".join(terms[:3]) + more


def _status(facts: Facts) -> str | None:
    value = facts.constants.get("document status")
    return next(iter(value.stated), None) if isinstance(value, Words) else None


def _number(facts: Facts, key: str) -> Fraction | None:
    value = facts.as_set.value(key)
    return value if isinstance(value, Fraction) else None


def _text(facts: Facts, key: str) -> str | None:
    stated = facts.stated(key)
    body = stated.statement.body if stated is not None and stated.statement.readable else None
    return body.text if isinstance(body, n.Phrase) else None


def _line(facts: Facts, key: str) -> Entry:
    stated = facts.stated(key)
    if stated is not None:
        return stated.entry
    return next(each for each in facts.document.entries if each.kind != "blank")


def _order(old: Facts, new: Facts, walk: Walk) -> None:
    """A revision that is lower than the one before it, or was written earlier."""
    numbers = _number(old, "document revision"), _number(new, "document revision")
    moments = _moment(old), _moment(new)
    if None not in numbers or None not in moments:
        walk.ran.add("change.revision-order")
    if numbers[0] is not None and numbers[1] is not None and numbers[1] < numbers[0]:
        fields = {"what": f"revision {numbers[1]} comes after revision {numbers[0]}"}
        walk.found.append(_at("change.revision-order", _line(new, "document revision"), fields))
    elif moments[0] is not None and moments[1] is not None and moments[1] < moments[0]:
        fields = {"what": f"it is dated {moments[1]}, and what it replaces {moments[0]}"}
        walk.found.append(_at("change.revision-order", _line(new, "document written"), fields))


def _moment(facts: Facts) -> str | None:
    stated = facts.stated("document written")
    body = stated.statement.body if stated is not None and stated.statement.readable else None
    if not isinstance(body, n.Signed):
        return None
    return " ".join(part for part in (body.moment.date, body.moment.time) if part)


def _revision_kept(old: Facts, new: Facts, what: str, walk: Walk) -> None:
    numbers = _number(old, "document revision"), _number(new, "document revision")
    if _status(old) == "draft":  # a draft is being written: nobody relies on its number yet
        return
    if numbers[0] is None or numbers[1] is None:
        walk.unsure["change.revision-kept"] = "a revision is not stated"
        return
    walk.ran.add("change.revision-kept")
    if numbers[0] == numbers[1]:
        entry = _line(new, "document revision")
        walk.found.append(_at("change.revision-kept", entry, {"revision": str(numbers[1]), "what": what}))


def _unsigned(old: Facts, new: Facts, what: str, walk: Walk) -> None:
    before, after = old.stated("document written"), new.stated("document written")
    if before is None or after is None or _status(new) == "draft":
        return
    if not (before.statement.readable and after.statement.readable):
        return
    walk.ran.add("change.unsigned")
    if normal(before.statement.body) == normal(after.statement.body):
        fields = {"what": what, "written": _moment(new) or ""}
        walk.found.append(_at("change.unsigned", after.entry, fields))


def _checked_kept(revisions: Revisions, what: str, walk: Walk) -> None:
    before = {normal(block.heading) for block in revisions.old.blocks_of("checked") if block.heading is not None}
    after = [block for block in revisions.new.blocks_of("checked") if block.heading is not None]
    assert revisions.head is not None
    if not after or _status(revisions.head[1]) == "draft":
        return
    walk.ran.add("change.checked-kept")
    if all(normal(block.heading) in before for block in after):
        last = after[-1]
        assert last.heading is not None
        moment = last.heading.moment
        checked = " ".join(part for part in (moment.date, moment.time) if part) if moment is not None else "before"
        walk.found.append(_at("change.checked-kept", last.entry, {"what": what, "checked": checked}))


def _other_patient(old: Facts, new: Facts, walk: Walk) -> None:
    """Facts that no patient changes: the sex, the gestation at birth, an age that falls."""
    if old.document.kind != "prescription" or new.document.kind != "prescription":
        return
    for key in ("patient sex", "patient gestation", "patient age"):
        first, second = old.as_set.value(key), new.as_set.value(key)
        if not (old.is_stated(key) and new.is_stated(key)):
            continue
        walk.ran.add("change.other-patient")
        falls = isinstance(first, Fraction) and isinstance(second, Fraction) and second < first
        differs = first != second if key != "patient age" else falls
        if differs and not is_alike(first, second):
            fields = {"what": f"{key} was {_told(key, old)} and is {_told(key, new)}"}
            walk.found.append(_at("change.other-patient", _line(new, key), fields))


def _told(key: str, facts: Facts) -> str:
    value = facts.as_set.value(key)
    if isinstance(value, Fraction):
        return show_number(value, unit_for(key, facts, {}), key)
    return ", ".join(sorted(value.stated)) if isinstance(value, Words) else "not stated"


def events_of_periods() -> Iterator[str]:
    """The events that the walk over a period may find."""
    yield from ("change.alone", "change.large-step", "change.reference", "change.basis", "change.alarm-lost")
    yield "change.circuit-type"

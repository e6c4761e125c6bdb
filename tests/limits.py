"""Is every limit in the packs held by a published number? Changes each by 5 % and looks whether a test would fail.

``python -m tests.limits`` takes every number in the expressions of the packs, writes it 5 % higher and 5 % lower into
the pack's text, loads that and compares the pack with the published numbers of tests/outside/limits. A number that has
a published entry is *killed* when that comparison fails. ``--cases`` also tells whether a case of a rule that uses
the number is no longer what it says; ``--list`` shows the addresses; ``--write`` writes rules/LIMITS.md.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Final

from rxlint.expressions import Node
from rxlint.packs import Pack, Rule
from rxlint.screening.cases import failure_of
from rxlint.screening.ruleset import every_read, prepare
from tests.literals import Limit, Where, builtin_limits, limits_of, load, pack_names, pack_text
from tests.published import SEEN, Entry, EntryError, Matched, entries_of, match

PAGE: Final = Path(__file__).resolve().parent.parent / "rules" / "LIMITS.md"
FACTORS: Final = (Fraction(105, 100), Fraction(95, 100))
_HEAD: Final = """# The numbers in the packs, and who published them

Every number that stands in a condition or a table of a pack. Those that a source prints stand first, as the source
prints them, with how the source was seen; a test compares them with the pack, so that it fails when such a limit is
changed. Then come those for which no published number stands, each with the reason. Nothing (0), the whole of a thing
(1, 100 %) and one of a unit (`x / (1 kg)`) need no source and are left out. Made by `python -m tests.limits --write`
from tests/outside/limits; `python -m tests.limits` changes every number by 5 % and tells whether that would be seen.

"""


@dataclass(frozen=True, slots=True)
class Change:
    """What came of changing one number: whether the published comparison failed, and the case that flipped."""

    limit: Limit
    factor: Fraction
    killed: bool
    flipped: str = ""


def matched(name: str) -> Matched:
    """A built-in pack's numbers with their entries. Raises EntryError."""
    return match(builtin_limits(name), entries_of(name))


def disagreeing(limits: Sequence[Limit], entries: Sequence[Entry]) -> set[Where]:
    """Where the numbers stand that are not what was published."""
    given = match(limits, entries).entries
    return {limit.where for limit, entry in given.items() if entry.published is not None and not entry.agrees(limit)}


def is_killed(limit: Limit, changed: str, name: str, before: set[Where], entries: Sequence[Entry]) -> bool:
    """Whether the changed pack, loaded anew, disagrees with what was published of this number, and newly of no other.

    Raises ValueError where the change is not seen in the pack, or the pack no longer loads.
    """
    after = limits_of(changed, name)
    if next(each for each in after if each.where == limit.where).value == limit.value:
        raise ValueError(f"{limit.where}: the change to {limit.text} did not reach the pack")
    return disagreeing(after, entries) - before == {limit.where}


def rules_using(pack: Pack, changed: Pack, limit: Limit) -> frozenset[str]:
    """The ids of the rules whose conditions hold the number, or read a term that differs in the changed pack."""
    if limit.where.kind == "rule":
        return frozenset({limit.where.name})
    keys = {key for key, each in changed.defined.items() if each.node != pack.defined[key].node}
    return frozenset(rule.id for rule in pack.rules if keys & every_read(_conditions(rule), pack.defined))


def _conditions(rule: Rule) -> list[Node]:
    parts = rule.parts or (rule,)
    found = [each for part in parts for each in (part.when, part.require)]
    return [each for each in (*found, *(each.when for each in rule.stricter)) if each is not None]


def flipped_case(pack: Pack, ids: frozenset[str]) -> str:
    """The first case of some rules of a changed pack that is no longer what it says; empty where all are."""
    rules = prepare((pack,))
    cases = ((rule, case) for rule in pack.rules if rule.id in ids for case in rule.cases)
    return next((f"{rule.id}: {case.kind}" for rule, case in cases if failure_of(rule, case, pack, rules)), "")


def changes(name: str, cases: bool = False) -> Iterator[Change]:
    """Change each number of a built-in pack that has an entry or needs one, up and down."""
    text, entries = pack_text(name), entries_of(name)
    pack, limits = load(text, name), builtin_limits(name)
    found, before = match(limits, entries).entries, disagreeing(limits, entries)
    for limit in (each for each in limits if each in found or not each.excepted):
        for factor in FACTORS:
            changed = limit.changed(text, factor)
            killed = is_killed(limit, changed, name, before, entries)
            other = load(changed, name) if cases else pack
            flipped = flipped_case(other, rules_using(pack, other, limit)) if cases else ""
            yield Change(limit, factor, killed, flipped)


# ---- what is written


def page() -> str:
    """rules/LIMITS.md."""
    found = {name: matched(name) for name in pack_names()}
    head = ("pack", "numbers", "published", *SEEN.values(), "not published", "without an entry")
    rows = [_counts(name, each) for name, each in found.items()]
    sums = ["all", *(str(sum(int(row[column]) for row in rows)) for column in range(1, len(head)))]
    return _HEAD + _table(head, [*rows, sums]) + "".join(_chapter(name, each) for name, each in found.items())


def _counts(name: str, found: Matched) -> list[str]:
    seen = Counter(each.seen for each in found.entries.values() if each.published is not None)
    published = sum(seen.values())
    numbers = (len(found.entries) + len(found.missing), published, *(seen[how] for how in SEEN))
    return [name, *map(str, (*numbers, len(found.entries) - published, len(found.missing)))]


def _chapter(name: str, found: Matched) -> str:
    entries = found.entries.items()
    published = [
        (_where(limit), limit.text, each.text, each.source, SEEN[each.seen])
        for limit, each in entries
        if each.published is not None
    ]
    others = [(_where(limit), limit.text, each.unpublished) for limit, each in entries if each.published is None]
    others += [(_where(limit), limit.text, "NO ENTRY") for limit in found.missing]
    text = f"\n## {name}\n" if published or others else ""
    if published:
        text += "\n" + _table(("where", "number", "published", "source", "how seen"), published)
    if others:
        text += "\n" + _table(("where", "number", "no published number, because"), others)
    return text


def _where(limit: Limit) -> str:
    name = limit.where.name
    return f"`{name}`{str(limit.where)[len(name) :]}"


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *([cell.replace("|", "\\|") for cell in row] for row in rows)]
    return "".join("| " + " | ".join(line) + " |\n" for line in lines)


def listing(name: str) -> Iterator[str]:
    """Every number of a pack, its address and what stands for it."""
    found = matched(name)
    for limit in builtin_limits(name):
        entry = found.entries.get(limit)
        told = (
            limit.excepted or "NO ENTRY"
            if entry is None
            else f"published {entry.text}"
            if entry.text
            else "unpublished"
        )
        yield f"{name}: {limit.where}: {limit.text}: {told}"


# ---- the command


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 1 where an entry is at fault, a number has none, or a published one survives a change."""
    options = _options(arguments)
    names = options.pack or pack_names()
    try:
        found = {name: matched(name) for name in names}
    except EntryError as error:
        print(error)
        return 1
    if options.list:
        print("\n".join(line for name in names for line in listing(name)))
        return 0
    faults = [f"{name}: {fault}" for name, each in found.items() for fault in each.faults]
    for name in names:
        faults += _run(name, found[name], options.cases)
    print("\n".join((*faults, f"{len(faults)} faults")))
    if options.write:
        PAGE.write_text(page(), encoding="utf-8")
    return 1 if faults else 0


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.limits")
    parser.add_argument("--pack", action="append", choices=pack_names(), help="only this pack; may be given again")
    parser.add_argument("--cases", action="store_true", help="also tell which cases flip; takes minutes")
    parser.add_argument("--list", action="store_true", help="only list every number with its address and entry")
    parser.add_argument("--write", action="store_true", help="write rules/LIMITS.md, of all packs")
    return parser.parse_args(arguments)


def _run(name: str, found: Matched, cases: bool) -> list[str]:
    """Change every number of a pack, print what came of it, and return what should not be."""
    done = list(changes(name, cases))
    numbers = list(dict.fromkeys(change.limit for change in done))
    survived = {change.limit for change in done if not change.killed}
    published = [limit for limit, entry in found.entries.items() if entry.published is not None]
    alive = [limit for limit in published if limit in survived or limit not in numbers]
    told = f"{name}: {len(numbers)} numbers, {len(published)} published, {len(published) - len(alive)} killed"
    if cases:
        flips = Counter(change.limit for change in done if change.flipped)
        both = sum(count == len(FACTORS) for count in flips.values())
        told += f"; a case flips for {len(flips)}, both ways for {both}"
        for limit in (each for each in numbers if each not in flips):
            print(f"{name}: {limit.where}: {limit.text}: no case flips")
    print(told, flush=True)
    return [f"{name}: {limit.where}: {limit.text} is published, but a change is not seen" for limit in alive]


if __name__ == "__main__":
    sys.exit(main())

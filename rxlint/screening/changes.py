"""What changed between two revisions of a document, in clinical terms: the layout, comments and units take no part.

Every line of either document is accounted for: what it states is compared by period and term, and a line that belongs
to no term is compared as it is written.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from fractions import Fraction
from typing import Final

from rxlint.expressions import Node, keys_in, read_condition
from rxlint.model.names import base_names
from rxlint.model.stated import Scope, Stated, key_of
from rxlint.notation import nodes as n
from rxlint.notation.document import period_name
from rxlint.notation.normal import Normal, normal
from rxlint.notation.render import render_amount, render_heading
from rxlint.notation.tree import Block, Document, Entry
from rxlint.screening.change import UNNAMED, Change, Kind, is_ordered_change, is_spelled_alike, kind_of, told, written
from rxlint.screening.change_lines import change_of, line_changes
from rxlint.screening.change_scopes import Both, both_of
from rxlint.vocabulary import vocabulary

__all__ = ["Change", "changes_between", "changes_of", "is_ordered_change"]

_BESIDE: Final = frozenset({"readings", "checked"})  # compared as sections of their own, whatever the period


def changes_of(
    old: Document,
    new: Document,
    defined: Mapping[str, Node] | None = None,
    today: datetime.date | None = None,
) -> tuple[Change, ...]:
    """Every change from one document to the other, in the order of the sections and of the new text."""
    return changes_between(old, new, both_of(old, new, defined, today))


def changes_between(old: Document, new: Document, both: Sequence[Both]) -> tuple[Change, ...]:
    """The same for documents whose periods stand side by side already."""
    repeated = _repeated(old) | _repeated(new)
    found = [*_headings(old, new), *_periods(both, old, new)]
    found += _in_every_period(both, repeated)
    found += [*_readings(old, new), *_checks(old, new), *_unread(old, new, repeated)]
    return tuple(sorted(found, key=_place))


def _place(change: Change) -> tuple[int, int]:
    names = list(vocabulary().sections)
    section = names.index(change.section) if change.section in names else len(names)
    entry = change.new or change.old
    return section, entry.lines[0].number if entry is not None else 0


# ---- statements, by period


def _in_every_period(both: Sequence[Both], repeated: frozenset[tuple[str, str]]) -> Iterator[Change]:
    """The changes of statements; one that several periods have alike is told once."""
    periods: dict[Change, list[str | None]] = {}
    for each in both:
        for change in _statements(each, repeated):
            periods.setdefault(change, []).append(each.label)
    for change, labels in periods.items():
        everywhere = len(labels) == len(both)
        named = ", ".join(label if label is not None else UNNAMED for label in labels)
        yield change if everywhere else replace(change, period=named)


def _statements(both: Both, repeated: frozenset[tuple[str, str]]) -> Iterator[Change]:
    old, new = both.scopes
    for key in dict.fromkeys((*new.by_key, *old.by_key)):
        first, second = _own(old, key, repeated), _own(new, key, repeated)
        yield from line_changes(first, second, both)
    for form in dict.fromkeys((*new.several, *old.several)):
        one, other = old.several.get(form, ()), new.several.get(form, ())
        if any(form == name for name in ("monitoring", "equipment")):
            yield from _items(one, other)
        else:
            yield from _sentences(one, other)
    yield from _back_up(old, new)


def _own(scope: Scope, key: str, repeated: frozenset[tuple[str, str]]) -> Stated | None:
    stated = scope.by_key.get(key)
    if stated is None or (stated.block.section, key) in repeated or stated.block.section in _BESIDE:
        return None
    return stated


def _sentences(old: Sequence[Stated], new: Sequence[Stated]) -> Iterator[Change]:
    """Sentences that say the same first; of the others, those about one thing are held against each other."""
    pairs, gone, come = _paired(old, new, _meaning)
    for one, other in pairs:
        if not is_spelled_alike(one.entry, other.entry):
            yield change_of(other, "reworded", _sentence(one), _sentence(other), "", one, other)
    pairs, gone, come = _paired(gone, come, _subject)
    for one, other in pairs:
        yield change_of(other, "changed", _sentence(one), _sentence(other), "", one, other)
    for one in gone:
        yield change_of(one, "removed", _sentence(one), None, old=one)
    for other in come:
        yield change_of(other, "added", None, _sentence(other), new=other)


def _paired(
    old: Sequence[Stated], new: Sequence[Stated], key: Callable[[Stated], object]
) -> tuple[list[tuple[Stated, Stated]], list[Stated], list[Stated]]:
    """Statements of either side with one key, in their order; and those left over on either side."""
    waiting: dict[object, list[Stated]] = {}
    for each in old:
        waiting.setdefault(key(each), []).append(each)
    pairs: list[tuple[Stated, Stated]] = []
    come: list[Stated] = []
    for each in new:
        same = waiting.get(key(each))
        if same:
            pairs.append((same.pop(0), each))
        else:
            come.append(each)
    paired = {id(one) for one, _ in pairs}
    return pairs, [each for each in old if id(each) not in paired], come


def _meaning(stated: Stated) -> object:
    body = stated.statement.body
    if not stated.statement.readable or body is None:
        return written(stated.entry.text)
    if isinstance(body, n.Relation):
        read = read_condition(body.text, base_names())
        return stated.key, _formula(read.node) if read.node is not None else normal(body)
    return stated.key, normal(body)


def _formula(node: object) -> Normal:
    """A formula by what it says: its terms by their keys, its numbers in base units."""
    if isinstance(node, tuple):
        return tuple(_formula(each) for each in node)
    if node is None or isinstance(node, str | bool | Fraction):
        return node
    if isinstance(node, int):
        return Fraction(node)
    if not is_dataclass(node):
        return ""  # how a function is computed; its name stands beside it
    told_ = (each.name for each in fields(node) if each.name not in ("start", "end", "text"))
    return (type(node).__name__, *(_formula(getattr(node, name)) for name in told_))


def _subject(stated: Stated) -> object:
    """What a sentence is about: the terms that it steps, the term that it defines, whom it calls, what it stops on."""
    match stated.statement.body:
        case n.Step(terms=terms):
            return stated.key, tuple(each.text for each in terms)
        case n.Relation(text=text):
            read = read_condition(text, base_names())
            return stated.key, min(keys_in(read.node), default="", key=text.find) if read.node is not None else ""
        case n.Call(whom=whom):
            return stated.key, whom
        case n.Accept(rule=rule, term=term):
            return stated.key, rule.text, term.text if term is not None else None
        case n.Stage(on=on):
            return stated.key, on.text if on is not None else None
        case _:
            return stated.key


def _sentence(stated: Stated) -> str:
    return told(stated) if stated.statement.readable else written(stated.entry.text)


def _items(old: Sequence[Stated], new: Sequence[Stated]) -> Iterator[Change]:
    """Things at hand and monitors, in any order and on any number of lines."""
    before, after = [*_each_item(old)], [*_each_item(new)]
    names = Counter(item.name for item, _ in before), Counter(item.name for item, _ in after)
    for name in dict.fromkeys((*names[1], *names[0])):
        one = [(item, stated) for item, stated in before if item.name == name]
        other = [(item, stated) for item, stated in after if item.name == name]
        sizes = Counter(normal(item.amount) for item, _ in one), Counter(normal(item.amount) for item, _ in other)
        if sizes[0] == sizes[1]:
            continue
        stated = (other or one)[0][1]
        texts = _sizes(one) or None, _sizes(other) or None
        change = change_of(
            stated, kind_of(*texts), *texts, old=one[0][1] if one else None, new=other[0][1] if other else None
        )
        yield replace(change, term=stated.block.section)
    unread = [[each for each in side if not isinstance(each.statement.body, n.Items)] for side in (old, new)]
    yield from _sentences(*unread)


def _each_item(stated: Sequence[Stated]) -> Iterator[tuple[n.Item, Stated]]:
    for each in stated:
        if isinstance(each.statement.body, n.Items):
            yield from ((item, each) for item in each.statement.body.items)


def _sizes(items: Sequence[tuple[n.Item, Stated]]) -> str:
    return ", ".join(
        " ".join([item.name, *([render_amount(item.amount)] if item.amount is not None else [])]) for item, _ in items
    )


def _back_up(old: Scope, new: Scope) -> Iterator[Change]:
    """The delay in the heading of a back-up block, and the block itself."""
    before, after = _last(old.blocks, "back-up"), _last(new.blocks, "back-up")
    yield from _heading_change("back-up", before, after, lambda heading: normal(heading.delay))


def _last(blocks: Iterable[Block], section: str) -> Block | None:
    return next((block for block in reversed([*blocks]) if block.section == section), None)


def _heading_change(
    term: str, before: Block | None, after: Block | None, meaning: Callable[[n.Heading], Normal]
) -> Iterator[Change]:
    headings = [block.heading if block is not None else None for block in (before, after)]
    meant = [meaning(heading) if heading is not None else None for heading in headings]
    if (before is None) == (after is None) and meant[0] == meant[1]:
        return
    block = after or before
    assert block is not None
    texts = [_heading_told(term, each) for each in (before, after)]
    yield Change(
        term, term, block.section, kind_of(before, after), texts[0], texts[1],
        old=before.entry if before else None, new=after.entry if after else None,
    )  # fmt: skip


def _heading_told(term: str, block: Block | None) -> str | None:
    """A line at the margin without the word that it begins with, which stands before it already."""
    if block is None:
        return None
    text = render_heading(block.heading) if block.heading is not None else written(block.entry.text)
    return text.removeprefix(term).strip() or text


# ---- the document and its periods


def _headings(old: Document, new: Document) -> Iterator[Change]:
    entries = [next((each for each in document.entries if each.kind == "document"), None) for document in (old, new)]
    for term, before, after in (("kind", old.kind, new.kind), ("title", old.title, new.title)):
        same = before == after or (before is not None and after is not None and written(before) == written(after))
        if not same:
            kind = kind_of(before, after)
            yield Change(term, term, "head", kind, before, after, old=entries[0], new=entries[1])


def _periods(both: Sequence[Both], old: Document, new: Document) -> Iterator[Change]:
    """Periods that came, went, have another name or other hours."""
    for each in both:
        before, after = _hours(old, each.before), _hours(new, each.after)
        if each.before is None and each.after is None:
            continue
        if (each.before, {normal(one) for one in before}) == (each.after, {normal(one) for one in after}):
            continue
        first, second = _period_block(old, each.before), _period_block(new, each.after)
        yield Change(
            "period", "period", "settings", "changed",
            _period_text(each.before, before), _period_text(each.after, after),
            old=first.entry if first else None, new=second.entry if second else None,
        )  # fmt: skip
    for name in [each for each in _names(old) if each not in {one.before for one in both}]:
        block = _period_block(old, name)
        text = _period_text(name, _hours(old, name))
        yield Change("period", "period", "settings", "removed", text, None, old=block.entry if block else None)
    for name in [each for each in _names(new) if each not in {one.after for one in both}]:
        block = _period_block(new, name)
        text = _period_text(name, _hours(new, name))
        yield Change("period", "period", "settings", "added", None, text, new=block.entry if block else None)


def _names(document: Document) -> list[str]:
    names = (period_name(block) for block in document.blocks if block.section not in _BESIDE)
    return list(dict.fromkeys(name for name in names if name is not None))


def _hours(document: Document, name: str | None) -> list[n.Period]:
    """The periods of this name that say more than it."""
    periods = [
        block.heading.period for block in document.blocks
        if name is not None and block.heading is not None and block.heading.period is not None
        and period_name(block) == name
    ]  # fmt: skip
    told_ = [each for each in periods if each.windows or each.up_to is not None or each.use is not None]
    return [replace(each, name=None) for each in told_]


def _period_block(document: Document, name: str | None) -> Block | None:
    blocks = [block for block in document.blocks if name is not None and period_name(block) == name]
    return next((block for block in blocks if block.section == "settings"), blocks[0] if blocks else None)


def _period_text(name: str | None, hours: Sequence[n.Period]) -> str:
    if name is None:
        return "all day"
    texts = dict.fromkeys(render_heading(n.Heading("", 0, 0, period=each)).strip() for each in hours)
    return " ".join([name, *(text for text in texts if text not in (f"from {name}", name))])


# ---- sections that stand beside the order


def _readings(old: Document, new: Document) -> Iterator[Change]:
    """Sets of readings by their headings, and what each says."""
    before, after = _by_heading(old, "readings"), _by_heading(new, "readings")
    for heading in dict.fromkeys((*after, *before)):
        first, second = before.get(heading), after.get(heading)
        if first is None or second is None:
            for change in _heading_change("readings", first, second, normal):
                texts = _with_details(change.before, first), _with_details(change.after, second)
                yield replace(change, before=texts[0], after=texts[1])
            continue
        one, other = _details(first), _details(second)
        pairs, gone, come = _paired(one, other, lambda stated: stated.key)
        for pair in (*pairs, *((each, None) for each in gone), *((None, each) for each in come)):
            yield from _reading(*pair)


def _with_details(heading: str | None, block: Block | None) -> str | None:
    if heading is None or block is None:
        return None
    lines = [written(entry.text) for entry in block.details]
    return f"{heading}: {'; '.join(lines)}" if lines else heading


def _reading(old: Stated | None, new: Stated | None) -> Iterator[Change]:
    same = old is not None and new is not None and _meaning(old) == _meaning(new)
    if same and old is not None and new is not None and is_spelled_alike(old.entry, new.entry):
        return
    stated = new or old
    assert stated is not None
    kind: Kind = "reworded" if same else kind_of(old, new)
    texts = [told(each) if each is not None else None for each in (old, new)]
    yield change_of(stated, kind, texts[0], texts[1], "", old, new)


def _details(block: Block) -> list[Stated]:
    return [
        Stated(key, entry.statement, entry, block)
        for entry in block.details
        if entry.statement is not None and (key := key_of(block, entry.statement)) is not None
    ]


def _by_heading(document: Document, section: str) -> dict[object, Block]:
    found: dict[object, Block] = {}
    for block in document.blocks_of(section):
        meant = normal(block.heading) if block.heading is not None else written(block.entry.text)
        number = 0
        while (meant, number) in found:
            number += 1
        found[(meant, number)] = block
    return found


def _checks(old: Document, new: Document) -> Iterator[Change]:
    """Checks that came or went. Where the same role has checked again, that is one change."""
    before, after = _by_heading(old, "checked"), _by_heading(new, "checked")
    gone = [block for heading, block in before.items() if heading not in after]
    for block in (block for heading, block in after.items() if heading not in before):
        same = next((each for each in gone if _role(each) is not None and _role(each) == _role(block)), None)
        if same is None:
            yield _check("checked", "added", None, block)
        else:
            gone.remove(same)
            yield _check(f'checked by "{_role(block)}"', "changed", same, block)
    for block in gone:
        yield _check("checked", "removed", block, None)


def _role(block: Block) -> str | None:
    return block.heading.by if block.heading is not None else None


def _check(term: str, kind: Kind, before: Block | None, after: Block | None) -> Change:
    block = after or before
    assert block is not None
    codes = [each.heading.code if each is not None and each.heading is not None else None for each in (before, after)]
    how = ""
    if kind == "changed" and codes[0] != codes[1]:
        how = "with another code" if all(codes) else "with a code now" if codes[1] else "without a code now"
    elif any(codes):
        how = "with a code" if kind != "changed" else ""
    return Change(
        term, "checked", block.section, kind, _check_told(term, before), _check_told(term, after), how,
        old=before.entry if before else None, new=after.entry if after else None,
    )  # fmt: skip


def _check_told(term: str, block: Block | None) -> str | None:
    """When a check was made, and by whom unless the term says so. A code says nothing to a reader."""
    if block is None or block.heading is None:
        return _heading_told("checked", block)
    heading = replace(block.heading, code=None, by=block.heading.by if term == "checked" else None)
    return render_heading(heading).removeprefix("checked ")


# ---- lines without a term


def _repeated(document: Document) -> frozenset[tuple[str, str]]:
    """Sections and keys of terms that stand twice, so that nobody can tell which of them holds."""
    sections = vocabulary().sections
    return frozenset(
        (section, sections[section].key_of(phrase)) for section, _, phrase in document.repeated if section in sections
    )


def _unread(old: Document, new: Document, repeated: frozenset[tuple[str, str]]) -> Iterator[Change]:
    """Lines that can't be told, or whose term stands twice, as they are written."""
    before, after = _texts(old, repeated), _texts(new, repeated)
    for text in dict.fromkeys((*after, *before)):
        one, other = before.get(text, []), after.get(text, [])
        for section, entry in other[len(one) :]:
            yield Change("a line", "", section, "added", None, text, _why(entry), new=entry)
        for section, entry in one[len(other) :]:
            yield Change("a line", "", section, "removed", text, None, _why(entry), old=entry)


def _why(entry: Entry) -> str:
    readable = entry.statement is not None and entry.statement.readable
    return "its term stands twice" if readable else "the line can't be read"


def _texts(document: Document, repeated: frozenset[tuple[str, str]]) -> dict[str, list[tuple[str, Entry]]]:
    found: dict[str, list[tuple[str, Entry]]] = {}

    def add(entry: Entry, section: str) -> None:
        found.setdefault(written(entry.text), []).append((section, entry))

    for block in document.blocks:
        if not block.readable:
            add(block.entry, block.section)
        for entry in block.details:
            key = key_of(block, entry.statement) if entry.statement is not None else None
            if key is None or (block.section, key) in repeated:
                add(entry, block.section)
            for row in entry.rows:
                if row.statement is None or not row.statement.readable:
                    add(row, block.section)
    for entry in document.entries:
        is_stray = entry.kind == "unread" or (entry.kind == "heading" and entry.heading is None)
        if is_stray and not any(block.entry is entry for block in document.blocks):
            add(entry, "")
    return found

"""Two statements of one term, compared exactly: values with what they are above or counted by, tables by row, lists."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from fractions import Fraction
from typing import Final

from rxlint.expressions import nodes as e
from rxlint.expressions.bounds import bounds
from rxlint.model.bands import TableRow, table_rows
from rxlint.model.facts import Facts
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity
from rxlint.notation.normal import Normal, normal
from rxlint.notation.render import render_amount, render_measure, render_row
from rxlint.screening.change import Change, Kind, is_spelled_alike, kind_of, told
from rxlint.screening.change_scopes import Both
from rxlint.screening.values import show_number, unit_for
from rxlint.units import show

_CLOSE: Final = Fraction(1, 10**9)
"""Values that are worked out with floats, such as a predicted weight, are alike within this share of themselves."""


def line_changes(old: Stated | None, new: Stated | None, both: Both) -> Iterator[Change]:
    """What changed from one statement of a term to the other; None where a document does not state it."""
    if old is None or new is None:
        if new is not None:
            yield change_of(new, "added", None, told(new), new=new)
        elif old is not None:
            yield change_of(old, "removed", told(old), None, old=old)
        return
    if not (old.statement.readable and new.statement.readable):
        if not is_spelled_alike(old.entry, new.entry) or old.statement.readable != new.statement.readable:
            which = "before" if new.statement.readable else "now" if old.statement.readable else "before and now"
            how = f"the line could not be read {which}" if which == "before" else f"the line can't be read {which}"
            yield change_of(new, "changed", told(old), told(new), how, old, new)
        return
    yield from _readable(old, new, both)


def change_of(
    stated: Stated,
    kind: Kind,
    before: str | None,
    after: str | None,
    how: str = "",
    old: Stated | None = None,
    new: Stated | None = None,
) -> Change:
    """A change of a statement."""
    return Change(
        stated.key,
        stated.key,
        stated.block.section,
        kind,
        before,
        after,
        how,
        old=old.entry if old is not None else None,
        new=new.entry if new is not None else None,
    )


def _readable(old: Stated, new: Stated, both: Both) -> Iterator[Change]:
    before, after = old.statement.body, new.statement.body
    if isinstance(before, n.TableHead) and isinstance(after, n.TableHead) and before.key.text == after.key.text:
        yield from _rows(old, new)
    elif normal(before) == normal(after):
        if not is_spelled_alike(old.entry, new.entry):
            yield change_of(new, "reworded", _own_words(old), _own_words(new), "", old, new)
    elif isinstance(before, n.Items) and isinstance(after, n.Items):
        yield change_of(new, "changed", told(old), told(new), parts_told(before.items, after.items), old, new)
    elif isinstance(before, n.Measure) and isinstance(after, n.Measure):
        yield _measures(old, new, before, after, both)
    else:
        yield change_of(new, "changed", told(old), told(new), "", old, new)


def _own_words(stated: Stated) -> str:
    return " ".join(stated.entry.text[stated.statement.phrase[1] :].split())


# ---- values


def _measures(old: Stated, new: Stated, before: n.Measure, after: n.Measure, both: Both) -> Change:
    first, second = old.statement.values[""], new.statement.values[""]
    texts = told(old) + _in_unit_of(first, second), told(new)
    if _set_part(before) == _set_part(after):
        return change_of(new, "range changed", *texts, "", old, new)
    if (first.reference, first.basis) != (second.reference, second.basis):
        same = _same_otherwise(old, new, both)
        if same is not None:
            return change_of(new, same[0], *texts, same[1], old, new)
    ranges = first.kind not in ("exact", "one of") and second.kind not in ("exact", "one of")
    return change_of(new, "range changed" if ranges else "changed", *texts, "", old, new)


def _set_part(measure: n.Measure) -> tuple[Normal, Normal]:
    return normal(measure.value), frozenset(normal(each) for each in measure.qualifiers)


def _in_unit_of(first: Quantity, second: Quantity) -> str:
    """What was set before in the unit that is written now, where that is another."""
    symbols = first.unit.symbol, second.unit.symbol
    if symbols[0] == symbols[1] or first.unit.dimension != second.unit.dimension or symbols == ("%", ""):
        return ""
    return f" ({' to '.join(show(point, second.unit) for point in first.points)})"


def _same_otherwise(old: Stated, new: Stated, both: Both) -> tuple[Kind, str] | None:
    """How two values say the same above another pressure, or counted by another weight; None where they don't."""
    facts = both.old[0], both.new[0]
    values = [each.as_set.value(new.key) for each in facts]
    if not both.is_single or old.key != new.key or not is_alike(values[0], values[1]):
        return None
    value = values[1]
    assert isinstance(value, Fraction)
    size = show_number(value, unit_for(new.key, facts[1], {}), new.key)
    what = "above another reference" if new.statement.values[""].basis is None else "by another weight"
    if old.statement.values[""].basis is not None and new.statement.values[""].basis is None:
        what = "without a weight"
    how = f"the same value as set, {size}, written {what}"
    ends = [_ends(new.key, each) for each in facts]
    if all(is_alike(one, other) for one, other in zip(*ends, strict=True)):
        return "reworded", how
    return "range changed", f"{how}; what else is allowed is not the same"


def _ends(key: str, facts: Facts) -> tuple[Fraction | None, Fraction | None]:
    return bounds(e.Name(key, key), facts.space) or (None, None)


def is_alike(one: object, other: object) -> bool:
    """Whether two values are one number, as near as floats can tell."""
    if not isinstance(one, Fraction) or not isinstance(other, Fraction):
        return False
    return abs(one - other) <= _CLOSE * max(abs(one), abs(other))


# ---- tables


def _rows(old: Stated, new: Stated) -> Iterator[Change]:
    before, after = _by_stretch(table_rows(old)), _by_stretch(table_rows(new))
    for stretch in dict.fromkeys((*after, *before)):
        first, second = before.get(stretch), after.get(stretch)
        one, other = _row(first), _row(second)
        row = other or one
        if row is None:
            continue
        label, _ = render_row(row)
        texts = [render_measure(each.measure) if each is not None else None for each in (one, other)]
        kind = _row_kind(first, second)
        if kind is not None:
            yield Change(
                f"{new.key}, {label}", new.key, new.block.section, kind, texts[0], texts[1],
                old=first.entry if first is not None else None, new=second.entry if second is not None else None,
            )  # fmt: skip


def _by_stretch(rows: Sequence[TableRow]) -> dict[tuple[Fraction, Fraction, int], TableRow]:
    """Rows by the stretch of the key that they hold for; of those that hold for the same one, by number."""
    seen: Counter[tuple[Fraction, Fraction]] = Counter()
    found: dict[tuple[Fraction, Fraction, int], TableRow] = {}
    for row in rows:
        stretch = row.low, row.high
        found[(*stretch, seen[stretch])] = row
        seen[stretch] += 1
    return found


def _row(row: TableRow | None) -> n.Row | None:
    body = row.entry.statement.body if row is not None and row.entry.statement is not None else None
    return body if isinstance(body, n.Row) else None


def _row_kind(first: TableRow | None, second: TableRow | None) -> Kind | None:
    one, other = _row(first), _row(second)
    if first is None or second is None or one is None or other is None:
        return kind_of(first, second)
    if normal(one.measure) == normal(other.measure):
        return None if is_spelled_alike(first.entry, second.entry) else "reworded"
    if first.quantity.kind != "exact" and second.quantity.kind != "exact":
        return "range changed"
    return "range changed" if _set_part(one.measure) == _set_part(other.measure) else "changed"


# ---- lists


def parts_told(before: Sequence[n.Item], after: Sequence[n.Item]) -> str:
    """Which parts came, went, moved, or have another size."""
    names = [item.name for item in before], [item.name for item in after]
    come, gone = Counter(names[1]) - Counter(names[0]), Counter(names[0]) - Counter(names[1])
    told_: list[str] = []
    told_ += [f"added {_listed(come)}"] if come else []
    told_ += [f"removed {_listed(gone)}"] if gone else []
    told_ += _sizes(before, after)
    moved = _moved(names[0], names[1])
    told_ += [f"moved {', '.join(moved)}"] if moved else []
    return "; ".join(told_)


def _listed(names: Counter[str]) -> str:
    return ", ".join(f"{count} x {name}" if count > 1 else name for name, count in names.items())


def _sizes(before: Sequence[n.Item], after: Sequence[n.Item]) -> Iterator[str]:
    """Parts of which there are as many as before, with another size."""
    for name in dict.fromkeys(item.name for item in after):
        old = [item.amount for item in before if item.name == name]
        new = [item.amount for item in after if item.name == name]
        if len(old) != len(new):
            continue
        for one, other in zip(old, new, strict=True):
            if normal(one) != normal(other):
                yield f"{name} {_size(one)} -> {_size(other)}"


def _size(amount: n.Amount | None) -> str:
    return render_amount(amount) if amount is not None else "without a size"


def _moved(before: Sequence[str], after: Sequence[str]) -> list[str]:
    """The parts that stand in another order among those that stay."""
    stay = Counter(before) & Counter(after)
    old, new = _of(before, stay), _of(after, stay)
    matcher = SequenceMatcher(None, old, new, autojunk=False)
    kept = {index for block in matcher.get_matching_blocks() for index in range(block.b, block.b + block.size)}
    return [name for index, name in enumerate(new) if index not in kept]


def _of(names: Sequence[str], wanted: Counter[str]) -> list[str]:
    left = Counter(wanted)
    found: list[str] = []
    for name in names:
        if left[name]:
            left[name] -= 1
            found.append(name)
    return found

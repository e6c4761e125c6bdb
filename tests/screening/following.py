"""Orders written from a template: each of its ranges becomes one of its values, each choice one of its words."""

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from rxlint.model.bands import table_rows
from rxlint.model.stated import Stated
from rxlint.notation import nodes as n
from rxlint.notation.measures import Quantity
from rxlint.notation.render import render_body
from rxlint.notation.tree import Block, Document, Entry
from rxlint.packs.builtin import builtin_packs
from rxlint.screening.engine import Screening, screen_document
from rxlint.screening.ruleset import prepare
from rxlint.screening.shelf import TextShelf
from tests.documents import DAY, document

RULES = prepare([pack for pack in builtin_packs() if pack.name == "library"])
Pick = Callable[[int], int]
"""Chooses one of so many."""
PARTS = 8  # a range is cut into so many steps


def screened(order: str, *others: str) -> Screening:
    """An order in a library of documents."""
    texts = {"order.vrx": order} | {f"{number}.vrx": text for number, text in enumerate(others)}
    return screen_document(document(order), RULES, DAY, TextShelf(texts, "order.vrx"))


def found(order: str, *others: str) -> list[tuple[str, int]]:
    """Every finding by its rule, without the area, and its line."""
    return [(each.rule.removeprefix("library."), each.place.line) for each in screened(order, *others).findings]


@dataclass
class Written:
    """An order as it is written: its lines, which of them state one value of a range, and how far outside lies."""

    lines: list[str] = field(default_factory=list)
    ranges: dict[int, tuple[str, str]] = field(default_factory=dict)  # by line: the line one step below, one above

    def text(self, changed: dict[int, str] | None = None) -> str:
        """The order, with some of its lines changed."""
        return "\n".join((changed or {}).get(at, line) for at, line in enumerate(self.lines)) + "\n"


def order_of(template: Document, follows: str, pick: Pick) -> Written:
    """An order that keeps to every line of a template; relations are left to the caller."""
    order = Written(
        ['prescription "case"', "  id  TM-9001", "  revision  1", "  status  active", f"  follows  {follows}"]
    )
    keys: dict[str, Fraction] = {}
    for block in template.blocks:
        if block.section in ("head", "checked"):
            continue
        order.lines.append(block.entry.text)
        for entry in block.details:
            _line(block, entry, order, keys, pick)
    return order


def _line(block: Block, entry: Entry, order: Written, keys: dict[str, Fraction], pick: Pick) -> None:
    statement = entry.statement
    assert statement is not None
    term, body = statement.term, statement.body
    if isinstance(body, n.Relation):
        return
    start = entry.text[: statement.phrase[1]]
    if term is not None and isinstance(body, n.Words | n.ModeChoice):
        choices = body.alternatives if isinstance(body, n.Words) else body.codes
        chosen = choices[pick(len(choices))]
        own = n.ModeChoice((chosen,)) if isinstance(chosen, n.Phrase) else n.Words((chosen,))
        order.lines.append(f"{start}  {render_body(own, term)}")
    elif term is not None and term.kind != "window" and isinstance(body, n.Measure):
        _measure(start, term.key, body, statement.values[""], order, keys, pick)
    elif term is not None and isinstance(body, n.TableHead):
        at = keys[body.key.text]
        rows = [row for row in table_rows(Stated(term.key, statement, entry, block))
                if row.low <= at < row.high or (row.closed and at == row.high)]  # fmt: skip
        (row,) = rows
        assert row.entry.statement is not None and isinstance(row.entry.statement.body, n.Row)
        head = entry.text[: statement.phrase[1]]
        _measure(head, term.key, row.entry.statement.body.measure, row.quantity, order, keys, pick)
    else:
        order.lines.extend(entry.text.split("\n"))


def _measure(
    start: str, key: str, body: n.Measure, quantity: Quantity, order: Written, keys: dict[str, Fraction], pick: Pick
) -> None:
    """One value of a range, in the template's unit; a value that is fixed stays what it is."""
    factor = quantity.unit.factor
    ends = [point / factor for point in quantity.points]
    qualifiers = "".join(f" {'above' if each.kind == 'reference' else 'of' if each.kind == 'basis' else 'at'} "
                         f"{each.word or _amount(each.amount)}" for each in body.qualifiers)  # fmt: skip

    def line(value: Fraction) -> str:
        number = f"{float(value):.6f}".rstrip("0").rstrip(".")
        return f"{start}  {number} {quantity.unit.symbol}{qualifiers}"

    low, high = ends[0], ends[-1]
    if quantity.kind == "at least":
        high = low + PARTS
    elif quantity.kind == "at most":
        low = high / 2
    step = (high - low) / PARTS or Fraction(1, 10)
    value = low if low == high else low + pick(PARTS + 1) * step
    if quantity.step is not None:
        step = quantity.step / factor
        value = low + (value - low) // step * step
    keys[key] = value * factor
    order.lines.append(line(value))
    beyond = (line(low - step), line(high + step))
    if quantity.kind in ("at least", "at most"):
        beyond = (beyond[0], beyond[0]) if quantity.kind == "at least" else (beyond[1], beyond[1])
    order.ranges[len(order.lines) - 1] = beyond


def _amount(amount: n.Amount | None) -> str:
    assert amount is not None
    return f"{amount.parts[0].text} {amount.parts[0].unit}"

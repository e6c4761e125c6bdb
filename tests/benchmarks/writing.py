"""Documents for the benchmarks as data, and their two writings: the notation, and YAML as a team would lay it out."""

from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import fill

Value = str | tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """One detail: `term text` in the notation, `key: value` in YAML, where a tuple is a list.

    A table has `rows` in place of a text, each with its condition as term. `measured`: the text's numbers are values in
    a unit. `remark` is a comment at the end of the line, in both.
    """

    term: str
    text: str
    key: str
    value: Value
    rows: tuple["Row", ...] = ()
    measured: bool = False
    remark: str = ""


@dataclass(frozen=True)
class Section:
    """A heading with its rows; the head of a document has an empty key.

    In YAML a section with a `moment` is one member of the list that all sections of its key make.
    """

    heading: str
    key: str
    rows: tuple[Row, ...]
    moment: str = ""


@dataclass(frozen=True)
class Order:
    """One document: a prescription, or a template."""

    title: str
    sections: tuple[Section, ...]
    kind: str = "prescription"


def key_of(words: str) -> str:
    """`leak port flow L/min` -> `leak_port_flow_l_per_min`."""
    spelt = words.lower().replace("/", " per ").replace("%", "percent").replace("-", " ")
    return "_".join(spelt.split())


def plain(number: float) -> str:
    """As a careful author writes it: no trailing zero."""
    return f"{number:.3f}".rstrip("0").rstrip(".")


def quantity(term: str, number: float, unit: str, after: str = "") -> Row:
    """A number with its unit; what comes `after` is a note beside the value in YAML."""
    value = f"{{value: {plain(number)}, note: {after}}}" if after else plain(number)
    return Row(term, f"{plain(number)} {unit} {after}".rstrip(), key_of(f"{term} {unit}"), value, measured=True)


def delay(term: str, seconds: int) -> Row:
    return Row(term, f"after {seconds} s", key_of(f"{term} s"), str(seconds), measured=True)


def window(term: str, low: float, high: float, unit: str = "", after: str = "") -> Row:
    """Two ends, which are a list in YAML; what comes `after` is told in the key there."""
    text = f"{plain(low)} to {plain(high)} {unit} {after}".rstrip()
    return Row(term, text, key_of(f"{term} {unit} {after}"), (plain(low), plain(high)), measured=True)


def table(term: str, by: str, unit: str, rows: dict[str, tuple[float, ...]]) -> Row:
    """A value, or two ends, for each condition on another term."""
    shown = tuple(
        Row(when, f"{' to '.join(map(plain, ends))} {unit}", "", tuple(map(plain, ends)), measured=True)
        for when, ends in rows.items()
    )
    return Row(f"{term} by {by}", "", key_of(f"{term} {unit}"), by, rows=shown)


def words(term: str, text: str, value: str = "") -> Row:
    return Row(term, text, key_of(term), value or text)


def quoted(term: str, text: str) -> Row:
    return Row(term, f'"{text}"', key_of(term), f'"{text}"')


def items(term: str, *members: str) -> Row:
    measured = any(member.split()[-2:-1] and member.split()[-2].isdigit() for member in members)
    return Row(term, ", ".join(members), key_of(term) or "items", members, measured=measured)


def section(heading: str, *rows: Row) -> Section:
    name = heading.partition(" from ")[0].partition(" after ")[0]
    return Section(heading, key_of(name), rows)


def as_notation(order: Order) -> str:
    lines = [f'{order.kind} "{order.title}"']
    for part in order.sections:
        if part.heading:
            lines += ["", part.heading]
        width = max(len(row.term) for row in part.rows)
        lines += [line for row in part.rows for line in _details(row, width, "  ")]
    return "\n".join(lines) + "\n"


def _details(row: Row, width: int, indent: str) -> Iterator[str]:
    """The line of a row; for a table one more, deeper, for each of its conditions."""
    after = f"  # {row.remark}" if row.remark else ""
    yield f"{indent}{row.term:{width}}  {row.text}".rstrip() + after if width else f"{indent}{row.text}{after}"
    for inner in row.rows:
        yield from _details(inner, width, indent + "  ")


def as_yaml(order: Order) -> str:
    lines = ["---", f'{"title" if order.kind == "prescription" else order.kind}: "{order.title}"']
    last = ""
    for part in order.sections:
        indent = "  " if part.key else ""
        if part.key and not (part.moment and part.key == last):
            lines += ["", f"{part.key}:"]
        if part.moment:
            lines.append(f'{indent}- moment: "{part.moment}"')
            indent += "  "
        lines += [_yaml_row(row, indent) for row in part.rows]
        last = part.key
    return "\n".join(lines) + "\n"


def _yaml_row(row: Row, indent: str) -> str:
    """One mapping entry within 80 columns, so that yamllint's default rules have nothing to say."""
    if row.rows:
        rows = [f'{indent}    - {{when: "{each.term}", value: {_flow(each.value)}}}' for each in row.rows]
        return "\n".join([f"{indent}{row.key}:", f"{indent}  by: {row.value}", f"{indent}  rows:", *rows])
    value, start = _flow(row.value), f"{indent}{row.key}: "
    after = f"  # {row.remark}" if row.remark else ""
    if len(start + value + after) < 80:
        return start + value + after
    above = f"{indent}# {row.remark}\n" if row.remark else ""
    if len(start + value) < 80:
        return above + start + value
    if value[0] in "[{":  # what is inside the bracket goes on below itself
        return above + fill(start + value, 79, subsequent_indent=" " * (len(start) + 1), break_on_hyphens=False)
    deeper = indent + "  "
    return f"{above}{start}>-\n" + fill(value, 79, initial_indent=deeper, subsequent_indent=deeper)


def _flow(value: Value) -> str:
    return f"[{', '.join(value)}]" if isinstance(value, tuple) else value

"""Documents for the benchmarks as data, and their two writings: the notation, and YAML as a team would lay it out."""

from dataclasses import dataclass
from textwrap import fill

Value = str | tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """One detail: `term text` in the notation, `key: value` in YAML, where a tuple is a list."""

    term: str
    text: str
    key: str
    value: Value


@dataclass(frozen=True)
class Section:
    """A heading with its rows; the head of a document has an empty key."""

    heading: str
    key: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Order:
    """One prescription."""

    title: str
    sections: tuple[Section, ...]


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
    return Row(term, f"{plain(number)} {unit} {after}".rstrip(), key_of(f"{term} {unit}"), value)


def delay(term: str, seconds: int) -> Row:
    return Row(term, f"after {seconds} s", key_of(f"{term} s"), str(seconds))


def window(term: str, low: float, high: float, unit: str = "") -> Row:
    text = f"{plain(low)} to {plain(high)} {unit}".rstrip()
    return Row(term, text, key_of(f"{term} {unit}"), (plain(low), plain(high)))


def words(term: str, text: str, value: str = "") -> Row:
    return Row(term, text, key_of(term), value or text)


def quoted(term: str, text: str) -> Row:
    return Row(term, f'"{text}"', key_of(term), f'"{text}"')


def items(term: str, *members: str) -> Row:
    return Row(term, ", ".join(members), key_of(term) or "items", members)


def section(heading: str, *rows: Row) -> Section:
    name = heading.partition(" from ")[0].partition(" after ")[0]
    return Section(heading, key_of(name), rows)


def as_notation(order: Order) -> str:
    lines = [f'prescription "{order.title}"']
    for part in order.sections:
        if part.heading:
            lines += ["", part.heading]
        width = max(len(row.term) for row in part.rows)
        lines += [f"  {row.term:{width}}  {row.text}" if width else f"  {row.text}" for row in part.rows]
    return "\n".join(lines) + "\n"


def as_yaml(order: Order) -> str:
    lines = ["---", f'title: "{order.title}"']
    for part in order.sections:
        indent = "  " if part.key else ""
        lines += ["", f"{part.key}:"] if part.key else []
        lines += [_yaml_row(row, indent) for row in part.rows]
    return "\n".join(lines) + "\n"


def _yaml_row(row: Row, indent: str) -> str:
    """One mapping entry within 80 columns, so that yamllint's default rules have nothing to say."""
    value = f"[{', '.join(row.value)}]" if isinstance(row.value, tuple) else row.value
    start = f"{indent}{row.key}: "
    if len(start + value) < 80:
        return start + value
    if value[0] in "[{":  # what is inside the bracket goes on below itself
        return fill(start + value, 79, subsequent_indent=" " * (len(start) + 1), break_on_hyphens=False)
    deeper = indent + "  "
    return f"{start}>-\n" + fill(value, 79, initial_indent=deeper, subsequent_indent=deeper)

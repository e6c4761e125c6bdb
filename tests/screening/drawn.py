"""Templates drawn at random, with ranges, choices, tables by age and relations; and prescriptions made of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from itertools import pairwise

from hypothesis import strategies as st

from rxlint.notation import nodes as n
from rxlint.notation.write import NewDetail, NewSection, render_document, sections_of
from tests.documents import document

MONTHS = 12


@dataclass(frozen=True)
class Free:
    """What may be set of a term: what is set (None: a range alone), and the ends, in the unit it is written in."""

    section: str
    key: str
    unit: str
    after: str
    low: Decimal
    high: Decimal
    step: Decimal
    value: Decimal | None = None
    options: tuple[Decimal, ...] = ()
    in_steps: bool = False

    def told(self, value: Decimal) -> str:
        return f"1:{_figure(value)}" if self.unit == ":" else f"{_figure(value)} {self.unit}"

    def text(self) -> str:
        """The value of its line."""
        if self.options:
            return " or ".join(self.told(each) for each in self.options) + self.after
        if self.low == self.high:
            return self.told(self.low) + self.after
        ends = f"{_figure(self.low) if self.unit != ':' else self.told(self.low)} to {self.told(self.high)}"
        if self.value is None:
            return ends + self.after
        steps = f" in steps of {self.told(self.step)}" if self.in_steps else ""
        return f"{self.told(self.value)}{self.after} allow {ends}{steps}"

    def marks(self) -> list[Decimal]:
        """Every value on its steps."""
        if self.options:
            return list(self.options)
        return [self.low + each * self.step for each in range(int((self.high - self.low) / self.step) + 1)]


def _figure(value: Decimal) -> str:
    """A number without needless zeros."""
    return f"{value.normalize():f}"


@dataclass(frozen=True)
class Row:
    """A row of a table by age, in years: low included, high excluded but in the last row."""

    low: int
    high: int
    free: Free


@dataclass(frozen=True)
class Template:
    """A template: its mode, what may be set, tables by age, the ages it is for in years, and its relations."""

    mode: str
    ages: tuple[int, int]
    free: tuple[Free, ...]
    tables: tuple[tuple[Row, ...], ...]
    keeps: tuple[str, ...]

    @property
    def kept(self) -> str | None:
        """The term that follows the others."""
        return "pressure support" if any(each.startswith("pressure support =") for each in self.keeps) else None

    def lines(self, told: Callable[[Free], str] | None = None, years: str = "years") -> dict[str, list[str]]:
        """Its lines by section; values by ``told``, ages in years or months."""
        told = told or Free.text
        times = MONTHS if years == "months" else 1
        found = {"patient": [f"age {self.ages[0] * times} to {self.ages[1] * times} {years}"]}
        found["settings"] = [f"mode {self.mode}"]
        for free in self.free:
            found.setdefault(free.section, []).append(f"{free.key} {told(free)}")
        for rows in self.tables:
            found.setdefault(rows[0].free.section, []).append(f"{rows[0].free.key} by age")
            found[rows[0].free.section] += [
                f"  {row.low * times} to {row.high * times} {years} {told(row.free)}" for row in rows
            ]
        found["settings"] += [f"keep {each}" for each in self.keeps]
        return found

    def narrowed(self, chosen: Free, value: Decimal) -> Template:
        """The template with one range narrowed to a value."""

        def narrow(free: Free) -> Free:
            return replace(free, low=value, high=value, value=None, options=()) if free is chosen else free

        tables = tuple(tuple(replace(row, free=narrow(row.free)) for row in rows) for rows in self.tables)
        return replace(self, free=tuple(narrow(each) for each in self.free), tables=tables)

    def document(self) -> str:
        """Its text."""
        return text_of(self.lines())

    def at(self, months: int) -> list[Free]:
        """What may be set at an age: of each table the row that holds."""
        found = list(self.free)
        for rows in self.tables:
            last = max(rows, key=lambda row: row.high)
            found += [
                row.free
                for row in rows
                if row.low * MONTHS <= months < row.high * MONTHS or (row is last and months == row.high * MONTHS)
            ]
        return found


def text_of(lines: Mapping[str, Sequence[str]], kind: str = "template") -> str:
    """The text of a document with these lines by section."""
    parts = [f"{section}\n" + "".join(f"  {line}\n" for line in each) for section, each in lines.items()]
    return f'{kind} "drawn"\n' + "".join(parts)


@st.composite
def _free(
    draw: st.DrawFn, section: str, key: str, unit: str, after: str, low: int, high: int, step: str, kinds: str = "srac"
) -> Free:
    size = Decimal(step)
    ends = sorted(draw(st.lists(st.integers(low, high), min_size=2, max_size=2)))
    bottom, top = (each * size for each in ends)
    free = Free(section, key, unit, after, bottom, top, size)
    match draw(st.sampled_from(kinds)):
        case "s":
            return replace(free, high=bottom)
        case "c" if ends[0] < ends[1]:
            return replace(free, options=(bottom, top))
        case "a" if ends[0] < ends[1]:
            return replace(free, value=draw(st.integers(*ends)) * size, in_steps=draw(st.booleans()))
        case _:
            return free


@st.composite
def _table(draw: st.DrawFn, cuts: Sequence[int], value: st.SearchStrategy[Free]) -> tuple[Row, ...]:
    return tuple(Row(low, high, draw(value)) for low, high in pairwise(cuts))


@st.composite
def templates(draw: st.DrawFn) -> Template:
    """A template over a part of the notation."""
    mode = draw(st.sampled_from(("A/C-PC", "SIMV-PC with PS", "A/C-VC")))
    cuts = draw(st.sampled_from(((6, 12, 16), (2, 6, 9, 14), (8, 18))))
    free = [draw(_free("settings", "PEEP", "cmH2O", "", 3, 12, "1"))]
    keeps: list[str] = []
    if mode == "A/C-VC":
        free.append(draw(_volume()))
    else:
        reference = draw(st.sampled_from((" above ambient", " above PEEP")))
        free.append(draw(_free("settings", "inspiratory pressure", "cmH2O", reference, 10, 34, "1")))
        keeps = draw(st.sampled_from(([], ["inspiratory pressure - PEEP <= 20 cmH2O"], ["PEEP <= 8 cmH2O"])))
    if mode == "SIMV-PC with PS":
        free.append(draw(_free("settings", "pressure support", "cmH2O", "", 4, 24, "1", kinds="sr")))
        keeps = keeps + draw(st.sampled_from(([], ["pressure support = inspiratory pressure - PEEP"])))
    timing = draw(st.booleans())
    free.append(
        draw(_free("settings", "I:E", ":", "", 2, 8, "0.5", kinds="sr"))
        if timing
        else draw(_free("settings", "inspiratory time", "s", "", 5, 20, "0.1"))
    )
    free.append(draw(_free("alarms", "high inspiratory pressure", "cmH2O", "", 15, 45, "1", kinds="sr")))
    tables: list[tuple[Row, ...]] = []
    for value in (
        _free("settings", "rate", "/min", "", 8, 40, "1", kinds="sr"),
        _free("patient", "weight", "kg", "", 8, 60, "1", kinds="sr"),
    ):
        if draw(st.booleans()):
            tables.append(draw(_table(cuts, value)))
        else:
            free.append(draw(value))
    return Template(mode, (cuts[0], cuts[-1]), tuple(free), tuple(tables), tuple(keeps))


@st.composite
def _volume(draw: st.DrawFn) -> Free:
    if draw(st.booleans()):
        return draw(_free("settings", "tidal volume", "mL/kg", " of measured weight", 8, 20, "0.5"))
    return draw(_free("settings", "tidal volume", "mL", "", 4, 24, "25"))


@st.composite
def points(draw: st.DrawFn, template: Template) -> tuple[int, dict[str, Decimal]] | None:
    """An age in months and a value for each term, as written; None where these break a relation."""
    months = draw(st.integers(template.ages[0] * MONTHS, template.ages[1] * MONTHS))
    values = {each.key: draw(st.sampled_from(each.marks())) for each in template.at(months)}
    return (months, values) if complete(template, months, values) else None


def complete(template: Template, months: int, values: dict[str, Decimal]) -> bool:
    """Work out what is kept, and tell whether the values keep the relations."""
    if "inspiratory pressure" not in values:
        return True
    above = next(each.after for each in template.at(months) if each.key == "inspiratory pressure")
    total = values["inspiratory pressure"] + (values["PEEP"] if above == " above PEEP" else 0)
    if template.kept is not None:
        values[template.kept] = total - values["PEEP"]
    kept = {
        "inspiratory pressure - PEEP <= 20 cmH2O": total - values["PEEP"] <= 20,
        "PEEP <= 8 cmH2O": values["PEEP"] <= 8,
    }
    return all(kept.get(each, True) for each in template.keeps)


def as_prescription(template: Template, months: int, values: Mapping[str, Decimal]) -> str:
    """The prescription with these values, by the writer."""
    told = {each.key: each.told(values[each.key]) + each.after for each in template.at(months)}
    return written(template, f"{months} months", told)


def written(template: Template, age: str, told: Mapping[str, str]) -> str:
    """The template as a prescription with these values instead of its own, made of nodes and written by the writer."""
    sections: list[NewSection] = []
    for section in sections_of(document(template.document())):
        details: list[NewDetail] = []
        for detail in section.details:
            details.append(_instead(section.name, detail, age, told))
        heading = section.heading
        if heading.section == "template":
            heading = replace(heading, section="prescription")
        sections.append(NewSection(heading, tuple(details)))
    return render_document(sections)


def _instead(section: str, detail: NewDetail, age: str, told: Mapping[str, str]) -> NewDetail:
    if detail.phrase == "age":
        return NewDetail("age", _body(section, f"age {age}"))
    if detail.phrase is not None and detail.phrase in told and isinstance(detail.body, n.Measure | n.TableHead):
        return NewDetail(detail.phrase, _body(section, f"{detail.phrase} {told[detail.phrase]}"))
    return detail


@cache
def _body(section: str, line: str) -> n.Body:
    (block,) = [each for each in document(f'prescription "x"\n{section}\n  {line}\n').blocks if each.section == section]
    statement = block.details[0].statement
    assert statement is not None and statement.readable and statement.body is not None, line
    assert not isinstance(statement.body, n.Row)
    return statement.body

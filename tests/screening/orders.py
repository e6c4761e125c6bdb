"""Orders drawn at random: settings that are set, allowed or free in a range, written as text."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from hypothesis import strategies as st


@dataclass(frozen=True)
class Setting:
    """A line: what is set (None: a range alone), and what is allowed, in the unit it is written in."""

    key: str
    unit: str
    after: str
    low: Decimal
    high: Decimal
    value: Decimal | None
    step: Decimal

    def line(self) -> str:
        if self.low == self.high:
            return self.fixed(self.low)
        stretch = f"{self.low} to {self.high} {self.unit}"
        if self.value is None:
            return f"{self.key} {stretch}{self.after}"
        return f"{self.key} {self.value} {self.unit}{self.after} allow {stretch}"

    def fixed(self, value: Decimal | str) -> str:
        told = value if isinstance(value, str) else f"{value} {self.unit}"
        return f"{self.key} {told.removesuffix(self.after) if self.after else told}{self.after}"

    def points(self) -> st.SearchStrategy[Decimal]:
        steps = int((self.high - self.low) / self.step)
        return st.integers(0, steps).map(lambda number: self.low + number * self.step)


@dataclass(frozen=True)
class Order:
    mode: str
    settings: tuple[Setting, ...]

    def text(self, lines: Sequence[str] | None = None) -> str:
        told = [f"mode {self.mode}", *(lines if lines is not None else [each.line() for each in self.settings])]
        return 'prescription "drawn"\nsettings\n' + "".join(f"  {line}\n" for line in told)

    def with_values(self, values: Mapping[str, str]) -> str:
        """The order with these values set, and the others as set, or at the low end of their range."""
        return self.text([each.fixed(values.get(each.key, _plain(each))) for each in self.settings])


def _plain(setting: Setting) -> str:
    value = setting.low if setting.value is None else setting.value
    return f"{value} {setting.unit}"


@st.composite
def _setting(draw: st.DrawFn, key: str, unit: str, after: str, low: int, high: int, step: str) -> Setting:
    size = Decimal(step)
    ends = sorted(draw(st.lists(st.integers(low, high), min_size=2, max_size=2)))
    kind = draw(st.sampled_from(("set", "range", "allowed", "allowed")))
    bottom, top = (each * size for each in ends)
    if kind == "set":
        return Setting(key, unit, after, bottom, bottom, bottom, size)
    value = draw(st.integers(*ends)) * size if kind == "allowed" else None
    return Setting(key, unit, after, bottom, top, value, size)


@st.composite
def orders(draw: st.DrawFn) -> Order:
    reference = draw(st.sampled_from((" above ambient", " above PEEP")))
    found = [
        draw(_setting("PEEP", "cmH2O", "", 0, 16, "1")),
        draw(_setting("inspiratory pressure", "cmH2O", reference, 4, 40, "1")),
        draw(_setting("pressure support", "cmH2O", "", 0, 30, "1")),
        draw(_setting("rate", "/min", "", 6, 50, "1")),
        draw(_setting("inspiratory time", "s", "", 4, 24, "0.1")),
        draw(_setting("rise time", "ms", "", 0, 12, "50")),
    ]
    kept = draw(st.lists(st.sampled_from(found), min_size=3, max_size=len(found), unique_by=lambda each: each.key))
    return Order("SIMV-PC with PS", tuple(each for each in found if each in kept))


@st.composite
def points(draw: st.DrawFn, order: Order) -> dict[str, str]:
    """One allowed combination."""
    return {each.key: f"{draw(each.points())} {each.unit}" for each in order.settings}

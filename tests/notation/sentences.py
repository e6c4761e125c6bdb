"""Random sentences, lists, texts and headings."""

import datetime

from hypothesis import strategies as st

from rxlint.notation import nodes as n
from rxlint.units import UNITS
from rxlint.vocabulary import Term, vocabulary
from tests.notation.amounts import decimal, durations, of_unit, ordered, shares
from tests.notation.plain import amount, phrase

WORDS = vocabulary()

# Letters of any script, marks of punctuation and symbols: everything that can be seen, also what must be escaped.
texts = st.text(
    st.characters(codec="utf-8", categories=("L", "N", "P", "S"), exclude_characters="\u115f\u1160\u3164\uffa0"),
    min_size=1,
    max_size=25,
)
roles = st.sampled_from(["consultant nurse", 'the "second" checker', "a \\ b", '"'])
names = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9._/-]{0,11}", fullmatch=True)
dates = st.dates(datetime.date(1, 1, 1)).map(datetime.date.isoformat)
times = st.times().map(lambda time: time.strftime("%H:%M"))
labels = st.sampled_from(["night", "day", "first-shift", "Ward_2", "school run", "x"])


@st.composite
def moments(draw: st.DrawFn, timed: bool | None = None) -> n.Moment:
    time = draw(times) if (draw(st.booleans()) if timed is None else timed) else None
    return n.Moment(draw(dates), time, 0, 0)


@st.composite
def periods(draw: st.DrawFn) -> n.Period:
    windows = tuple(
        n.Window(start, end, 0, 0) for start, end in draw(st.lists(st.tuples(times, times), min_size=1, max_size=3))
    )
    match draw(st.sampled_from(["name", "use", "windows", "name and windows", "as needed"])):
        case "name":
            return n.Period(draw(labels), None, (), None, 0, 0)
        case "use":
            return n.Period(None, draw(st.sampled_from(["asleep", "awake", "during transfer"])), (), None, 0, 0)
        case "windows":
            return n.Period(None, None, windows, None, 0, 0)
        case "name and windows":
            return n.Period(draw(labels), None, windows, None, 0, 0)
        case _:
            up_to = draw(st.none() | st.just(amount("3", "h/day")) | durations())
            return n.Period(None, "as needed", draw(st.sampled_from([(), windows])), up_to, 0, 0)


@st.composite
def items(draw: st.DrawFn, kind: str) -> n.Items:
    allowed = WORDS.items[kind]
    symbols = [symbol for symbol in UNITS if UNITS[symbol].dimension in {unit.dimension for unit in allowed.units}]
    found = []
    for name in draw(st.lists(st.sampled_from(allowed.members), min_size=1, max_size=5)):
        size = amount(decimal(draw(st.integers(0, 300)), 1), draw(st.sampled_from(symbols))) if symbols else None
        found.append(n.Item(name, size if draw(st.booleans()) else None, 0, 0))
    return n.Items(tuple(found))


def amounts_of(term: Term) -> st.SearchStrategy[n.Amount]:
    """One amount of a term, without what else its value would need."""
    if term.form == "fraction":
        assert term.plausible is not None
        return shares(*term.plausible, 1).map(lambda found: found[0])
    return ordered(term, 1).map(lambda found: of_unit(found[1][0], found[0]))


@st.composite
def conditions(draw: st.DrawFn) -> n.Condition:
    def comparison() -> n.Comparison:
        term = draw(st.sampled_from(READINGS))
        words = st.sampled_from(["above", "below", "at least", "at most"])
        size = draw(amounts_of(term).filter(lambda each: each.unit not in PER_WEIGHT))
        return n.Comparison(phrase(term.phrase), draw(words), size, draw(st.none() | durations()))  # type: ignore[arg-type]

    rows = draw(st.lists(st.integers(1, 2), min_size=1, max_size=2))
    return n.Condition(tuple(tuple(comparison() for _ in range(count)) for count in rows), 0, 0)


READINGS = list(WORDS.sections["readings"].terms.values())
PER_WEIGHT = frozenset({"mL/kg", "L/kg", "mL/kg/min", "L/min/kg"})
STEPPED = [
    term
    for name in ("settings", "oxygen")
    for term in WORDS.sections[name].terms.values()
    if term.kind == "value" and term.form in ("quantity", "fraction")
]


@st.composite
def steps(draw: st.DrawFn) -> n.Step:
    first = draw(st.sampled_from(STEPPED))
    second = draw(
        st.none()
        | st.sampled_from(
            [term for term in STEPPED if (term.units, term.per_weight) == (first.units, first.per_weight)]
        )
    )
    if first.form == "fraction" or (second is not None and second.form != first.form):
        second = None
    limit = None
    if draw(st.booleans()):
        reference = draw(st.sampled_from([None, "ambient", "PEEP"])) if first.reference == "stated" else None
        limit = n.Limit(draw(st.sampled_from(["up to", "down to"])), draw(amounts_of(first)), reference, 0, 0)
    return n.Step(
        tuple(phrase(term.key) for term in (first, second) if term is not None),
        draw(amounts_of(first)),
        draw(st.none() | durations()),
        limit,
        draw(st.none() | conditions()),
    )


@st.composite
def stages(draw: st.DrawFn) -> n.Stage:
    interfaces = WORDS.sections["airway"].terms["interface"].slots[0].words
    times_a_day = st.integers(1, 9).map(lambda count: amount(str(count), "times/day"))
    on = draw(st.none() | st.sampled_from(interfaces).map(phrase))
    return n.Stage(draw(durations()), draw(st.none() | times_a_day), on)


@st.composite
def extensions(draw: st.DrawFn) -> n.Extend:
    daily = draw(st.booleans())
    every = None if daily else draw(st.none() | durations())
    return n.Extend(draw(durations()), every, draw(st.none() | durations()), daily)


@st.composite
def accepted_terms(draw: st.DrawFn) -> tuple[n.Phrase | None, n.AcceptedValue | None]:
    """A term by itself, or with the value that was accepted: above what its own line must say."""
    terms = st.sampled_from(sorted(WORDS.tries["any term"].phrases)).map(phrase)
    if draw(st.booleans()):
        return draw(st.none() | terms), None
    term = draw(st.sampled_from(STEPPED))
    size = draw(amounts_of(term))
    if term.reference == "stated":
        word = draw(st.sampled_from(["ambient", "PEEP"]))
        return phrase(term.phrase), n.AcceptedValue(size, n.Qualifier("reference", 0, 0, word))
    weight = n.Qualifier("basis", 0, 0, "measured weight") if size.unit in PER_WEIGHT else None
    return phrase(term.phrase), n.AcceptedValue(size, weight)


@st.composite
def accepts(draw: st.DrawFn) -> n.Accept:
    term, value = draw(accepted_terms())
    return n.Accept(
        draw(st.sampled_from(["pressure.support-mismatch", "a.b", "site-2.x-9"]).map(phrase)),
        term,
        value,
        draw(st.none() | labels),
        draw(st.none() | dates.map(phrase)),
        draw(st.none() | texts | st.just("")),
        draw(st.none() | texts | st.just("")),
    )

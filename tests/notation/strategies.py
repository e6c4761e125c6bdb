"""Random documents as nodes, from the vocabulary: every section, form and kind of value, none of it at fault."""

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from hypothesis import strategies as st

from rxlint.notation import NewDetail, NewSection
from rxlint.notation import nodes as n
from rxlint.notation.takes import states_of, takes_allow, takes_automatic, takes_off, takes_qualifier
from rxlint.units import TIME, UNITS, WEIGHT
from rxlint.vocabulary import Term, vocabulary
from tests.notation import sentences as s
from tests.notation.amounts import ages, durations, of_unit, ordered, ratios, shares
from tests.notation.plain import amount, phrase, value

WORDS = vocabulary()
SEVERAL = ("relation", "raise", "stop", "call", "accept", "extend")  # their lines may stand again in a section
MEASURED = ("quantity", "fraction", "age", "number", "ratio")
COUNTED: dict[n.ValueKind, int] = {"exact": 1, "at most": 1, "at least": 1, "between": 2, "automatic": 2, "one of": 3}
KEYS = [
    term
    for name in ("settings", "patient")
    for term in WORDS.sections[name].terms.values()
    if term.form in ("quantity", "age", "fraction")
]


@st.composite
def sizes(draw: st.DrawFn, term: Term, count: int) -> list[n.Amount]:
    """Amounts of a term from small to large, all in one unit."""
    if term.form == "fraction":
        assert term.plausible is not None
        return draw(shares(*term.plausible, count))
    if term.form == "ratio":
        return sorted(draw(st.lists(ratios(), min_size=count, max_size=count)), key=lambda each: each.parts[0].number)
    if term.form == "age":
        if count == 1:
            return [draw(ages(term))]
        largest = draw(ages(term)).parts[0]
        low, high = int(term.plausible[0]), int(largest.number)  # type: ignore[index]
        lowest = {"gestation": 20}.get(term.phrase, 0)
        found = sorted(draw(st.lists(st.integers(lowest, max(high, lowest)), min_size=count, max_size=count)))
        assert low >= 0
        return [amount(str(each), largest.unit) for each in found]
    unit, found_numbers = draw(ordered(term, count))
    return [of_unit(each, unit) for each in found_numbers]


def without_unit(each: n.Amount) -> n.Amount:
    return each if each.ratio or len(each.parts) > 1 else amount(each.parts[0].text)


@st.composite
def qualifiers(draw: st.DrawFn, term: Term, first: n.Amount) -> tuple[n.Qualifier, ...]:
    found: list[n.Qualifier] = []
    reference = draw(st.sampled_from(["ambient", "PEEP"])) if term.reference == "stated" else term.reference
    if reference in ("ambient", "PEEP") and (term.reference == "stated" or draw(st.booleans())):
        found.append(n.Qualifier("reference", 0, 0, reference))
    unit = UNITS.get(first.unit or "")
    if term.per_weight and unit is not None and unit.dimension * WEIGHT in {each.dimension for each in term.units}:
        found.append(n.Qualifier("basis", 0, 0, draw(st.sampled_from(WORDS.bases))))
    if term.at is not None and draw(st.booleans()):
        found.append(n.Qualifier("at", 0, 0, amount=amount("10", term.at.symbol)))
    if takes_qualifier(term, "place") and draw(st.booleans()):
        found.append(n.Qualifier("place", 0, 0, draw(st.sampled_from(term.places))))
    if takes_qualifier(term, "manner") and draw(st.booleans()):
        date = draw(st.none() | s.dates)
        found.append(n.Qualifier("manner", 0, 0, draw(st.sampled_from(term.manner)), date=date))
    if takes_qualifier(term, "after") and draw(st.booleans()):
        found.append(n.Qualifier("after", 0, 0, amount=draw(durations())))
    return tuple(found)


@st.composite
def measures(draw: st.DrawFn, term: Term) -> n.Measure:
    kinds: list[n.ValueKind] = ["exact"]
    if term.kind != "measured":
        kinds += ["between", "at most", "at least", "one of"]
    if takes_automatic(term):
        kinds.append("automatic")
    kind = draw(st.sampled_from(kinds))
    count = COUNTED[kind]
    leave = takes_allow(term) and draw(st.booleans())
    low, *inner, high = draw(sizes(term, count + 2)) if leave else [None, *draw(sizes(term, count)), None]
    assert all(each is not None for each in inner)
    stated = [each for each in inner if each is not None]
    allow = draw(leaves(low, stated, high)) if low is not None and high is not None else None
    if count > 1 and term.form != "ratio" and draw(st.booleans()):
        stated[:-1] = [without_unit(each) for each in stated[:-1]]
    step: n.Amount | None = None
    if takes_allow(term) and term.form != "ratio" and draw(st.booleans()):
        text = "0.1" if stated[-1].unit is None else "2"
        step = amount(text, stated[-1].unit)
    return n.Measure(value(kind, *stated), draw(qualifiers(term, stated[-1])), allow, step, 0, 0)


def leaves(low: n.Amount, inner: list[n.Amount], high: n.Amount) -> st.SearchStrategy[n.Value]:
    """What staff may set: in each way that includes the values set."""
    return st.sampled_from(
        [
            value("between", low, high),
            value("between", without_unit(low), high),
            value("at most", high),
            value("at least", low),
            value("one of", low, *inner, high),
        ]
    )


@st.composite
def tables(draw: st.DrawFn, term: Term) -> NewDetail:
    # `1 year  2 days` would be one age, so a table of times does not go by a time
    timed = TIME in {unit.dimension for unit in term.units}
    keys_for = [key for key in KEYS if key.key != term.key and not (timed and TIME in {u.dimension for u in key.units})]
    by = draw(st.sampled_from(keys_for))
    ends = draw(sizes(by, draw(st.integers(2, 4))))
    keys = [n.RowKey("under", (ends[0],), 0, 0)] if draw(st.booleans()) else []
    for below, above in pairwise(ends):
        if below != above:
            pair = (without_unit(below) if draw(st.booleans()) and by.form != "age" else below, above)
            keys.append(n.RowKey("between", pair, 0, 0))
    keys.append(draw(st.sampled_from([n.RowKey("over", (ends[-1],), 0, 0), n.RowKey("exact", (ends[-1],), 0, 0)])))
    rows = tuple(n.Row(key, draw(measures(term))) for key in keys)
    return NewDetail(term.phrase, n.TableHead(phrase(by.key)), rows)


@st.composite
def measured(draw: st.DrawFn, term: Term) -> NewDetail:
    what = draw(st.integers(0, 5))
    if what == 0 and takes_off(term):
        return NewDetail(term.phrase, n.State("off", draw(s.texts), 0, 0))
    if what == 1 and term.kind != "measured":
        return draw(tables(term))
    return NewDetail(term.phrase, draw(measures(term)))


@st.composite
def words(draw: st.DrawFn, term: Term) -> n.Words:
    def alternative() -> tuple[n.Phrase, ...]:
        if term.many:
            slot = term.slots[0].words
            return tuple(phrase(each) for each in draw(st.lists(st.sampled_from(slot), min_size=1, max_size=3)))
        chosen = [draw(st.sampled_from(slot.words)) for slot in term.slots]
        return tuple(phrase(each) for index, each in enumerate(chosen) if index == 0 or draw(st.booleans()))

    return n.Words(tuple(alternative() for _ in range(draw(st.integers(1, 2)))))


def states(term: Term) -> st.SearchStrategy[n.State]:
    def state(word: str, because: str) -> n.State:
        return n.State(word, because if word == "off" else None, 0, 0)

    return st.builds(state, st.sampled_from(states_of(term)), s.texts)


def delays(term: Term) -> st.SearchStrategy[n.Body]:
    after = ordered(term, 1).map(lambda found: n.After(of_unit(found[1][0], found[0]), 0, 0))
    return after | states(term)


def cylinders(term: Term) -> st.SearchStrategy[n.Cylinder]:
    contents = ordered(term, 1).map(lambda found: n.Cylinder(of_unit(found[1][0], found[0])))
    pressure = st.none() | st.just(amount("137", "bar"))
    letters = st.sampled_from(["D", "E", "ZX", "M6"]).map(phrase)
    return contents | st.builds(n.Cylinder, st.none(), letters, st.sampled_from([None, "UK", "US"]), pressure)


def nebulisers(_: Term) -> st.SearchStrategy[n.Nebuliser]:
    sides = st.sampled_from(["patient side", "ventilator side"])
    out = st.builds(n.Nebuliser, sides, st.just("out"), st.none() | durations(), st.booleans())
    return out | st.builds(n.Nebuliser, sides, st.sampled_from([None, "stays"]), st.none(), st.just(False))


def counts(_: Term) -> st.SearchStrategy[n.Part]:
    return st.integers(1, 4000).map(lambda count: n.Part(Fraction(count), str(count), None, 0, 0, 0))


def links(term: Term) -> st.SearchStrategy[n.Link]:
    return st.builds(n.Link, s.names.map(phrase), counts(term))


def pre_oxygenations(term: Term) -> st.SearchStrategy[n.PreOxygenation]:
    assert term.plausible is not None
    share = shares(*term.plausible, 1).map(lambda found: found[0])
    return st.builds(
        n.PreOxygenation,
        share,
        st.none() | durations(),
        st.sampled_from([None, "before suction", "before and after suction"]),
    )


RELATIONS = ["PEEP = 5 cmH2O", "pressure support = inspiratory pressure - PEEP within 1 cmH2O", "mode is SIMV"]
FORMS: dict[str, Callable[[Term], st.SearchStrategy[n.Body]]] = {
    "mode": lambda _: st.lists(st.sampled_from(sorted(WORDS.modes)).map(phrase), min_size=1, max_size=2).map(
        lambda codes: n.ModeChoice(tuple(codes))
    ),
    "words": words,
    "list": lambda term: s.items(term.items or ""),
    "text": lambda _: s.texts.map(n.Text),
    "date": lambda _: s.moments(False),
    "identifier": lambda _: s.names.map(phrase),
    "count": counts,
    "link": links,
    "signed": lambda _: st.builds(n.Signed, s.moments(), s.texts),
    "state": states,
    "delay": delays,
    "relation": lambda _: st.sampled_from(RELATIONS).map(lambda text: n.Relation(text, 0, 0)),
    "cylinder": cylinders,
    "pre-oxygenation": pre_oxygenations,
    "nebuliser": nebulisers,
    "raise": lambda _: s.steps(),
    "stop": lambda _: s.conditions(),
    "call": lambda _: st.builds(n.Call, s.texts, st.none() | s.conditions()),
    "gases": lambda _: st.lists(durations(), min_size=1, max_size=4).map(lambda at: n.Gases(tuple(at))),
    "extend": lambda _: s.extensions(),
    "return": lambda _: s.labels.map(phrase),
    "accept": lambda _: s.accepts(),
}


def detail(term: Term) -> st.SearchStrategy[NewDetail]:
    if term.form in MEASURED:
        return measured(term)
    return FORMS[term.form](term).map(lambda body: NewDetail(term.phrase, body))


@st.composite
def details(draw: st.DrawFn, section: str) -> tuple[NewDetail, ...]:
    home = WORDS.sections[section]
    if home.bare == "list":
        return tuple(NewDetail(None, each) for each in draw(st.lists(s.items(section), max_size=3)))
    several = [term for term in home.terms.values() if term.form in SEVERAL]
    once = [term for term in home.terms.values() if term.form not in SEVERAL]
    chosen = draw(st.lists(st.sampled_from(once), unique_by=lambda term: term.key, max_size=6)) if once else []
    chosen += draw(st.lists(st.sampled_from(several), max_size=3)) if several else []
    found = [draw(detail(term)) for term in chosen]
    if section == "off ventilator":
        found += [NewDetail(None, draw(s.stages())) for _ in range(draw(st.integers(0, 3)))]
    # what says again what another line says is told
    different = [each for index, each in enumerate(found) if each not in found[:index]]
    return tuple(draw(st.permutations(different)))


@st.composite
def headings(draw: st.DrawFn, section: str) -> n.Heading:
    period = draw(st.none() | s.periods()) if WORDS.sections[section].periods else None
    if section == "back-up":
        return n.Heading(section, 0, 0, period=period, delay=draw(st.none() | durations()))
    if section == "readings":
        change: st.SearchStrategy[Literal["before", "after"] | None] = st.sampled_from([None, "before", "after"])
        moment, by = draw(st.none() | s.moments()), draw(st.none() | s.texts)
        return n.Heading(section, 0, 0, change=draw(change), moment=moment, by=by)
    return n.Heading(section, 0, 0, period=period)


@st.composite
def sections(draw: st.DrawFn, name: str) -> NewSection:
    return NewSection(draw(headings(name)), draw(details(name)))


@st.composite
def documents(draw: st.DrawFn) -> tuple[NewSection, ...]:
    """A whole document; each section and period at most once, but for readings and signatures."""
    kind = draw(st.sampled_from(["prescription", "template"]))
    head = NewSection(n.Heading(kind, 0, 0, title=draw(s.texts)), draw(details("head")))
    others = [name for name in WORDS.sections if name != "head"]
    chosen = draw(st.lists(st.sampled_from(others), max_size=4, unique=True))
    if "readings" in chosen and draw(st.booleans()):
        chosen.append("readings")
    body = [draw(sections(name)) for name in chosen]
    code = st.none() | st.from_regex(r"[0-9a-f]{8}", fullmatch=True)
    signed = st.builds(
        lambda moment, by, code: NewSection(n.Heading("checked", 0, 0, moment=moment, by=by, code=code)),
        s.moments(),
        s.texts,
        code,
    )
    return (head, *body, *draw(st.lists(signed, max_size=2)))

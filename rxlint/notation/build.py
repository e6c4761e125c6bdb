"""Turns what the grammar recognised into nodes. One method for each rule or alias of prescription.lark."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from lark import Token, Transformer, v_args

from rxlint.notation import nodes as n

_AGE_PART = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*([a-z]+)")  # no space stands in `7years`, which is told elsewhere


def unquote(text: str) -> str:
    """The text between quotation marks, with its two escapes undone."""
    return re.sub(r"\\(.)", r"\1", text[1:-1])


def _phrase(token: Token) -> n.Phrase:
    return n.Phrase(str(token), token.start_pos or 0, token.end_pos or 0)


def _count(token: Token) -> n.Part:
    start, end = token.start_pos or 0, token.end_pos or 0
    return n.Part(Fraction(str(token)), str(token), None, start, end, end)


def _tag(name: str) -> Any:
    return lambda _self: name


@v_args(inline=True)
class Builder(Transformer[Token, Any]):
    """Builds nodes while the parser runs. Holds no state."""

    # ---- amounts and values
    def amount(self, token: Token, unit: Token | None = None) -> n.Amount:
        start, end = token.start_pos or 0, token.end_pos or 0
        if token.type == "AGE":
            return n.Amount(_age_parts(token), False, start, end)
        if token.type == "RATIO":
            left, _, right = str(token).partition(":")
            ratio = Fraction(left) / Fraction(right) if Fraction(right) else Fraction(0)
            return n.Amount((n.Part(ratio, str(token), None, start, end, end),), True, start, end)
        stop = (unit.end_pos if unit is not None else end) or end
        part = n.Part(Fraction(str(token)), str(token), str(unit) if unit is not None else None, start, end, stop)
        return n.Amount((part,), False, start, stop)

    def exact(self, amount: n.Amount) -> n.Value:
        return n.Value("exact", (amount,), amount.start, amount.end)

    def between(self, low: n.Amount, high: n.Amount) -> n.Value:
        return n.Value("between", (low, high), low.start, high.end)

    def at_most(self, amount: n.Amount) -> n.Value:
        return n.Value("at most", (amount,), amount.start, amount.end)

    def at_least(self, amount: n.Amount) -> n.Value:
        return n.Value("at least", (amount,), amount.start, amount.end)

    def one_of(self, *amounts: n.Amount) -> n.Value:
        return n.Value("one of", amounts, amounts[0].start, amounts[-1].end)

    def automatic(self, low: n.Amount, high: n.Amount) -> n.Value:
        return n.Value("automatic", (low, high), low.start, high.end)

    # ---- qualifiers
    def above_ambient(self, words: Token) -> n.Qualifier:
        return n.Qualifier("reference", words.start_pos or 0, words.end_pos or 0, "ambient")

    def above_peep(self, words: Token) -> n.Qualifier:
        return n.Qualifier("reference", words.start_pos or 0, words.end_pos or 0, "PEEP")

    def basis(self, word: Token) -> n.Qualifier:
        return n.Qualifier("basis", word.start_pos or 0, word.end_pos or 0, str(word))

    def manner(self, word: Token, date: Token | None = None) -> n.Qualifier:
        end = (date.end_pos if date is not None else word.end_pos) or 0
        return n.Qualifier("manner", word.start_pos or 0, end, str(word), date=str(date) if date is not None else None)

    def at_amount(self, amount: n.Amount) -> n.Qualifier:
        return n.Qualifier("at", amount.start, amount.end, amount=amount)

    def at_place(self, word: Token) -> n.Qualifier:
        return n.Qualifier("place", word.start_pos or 0, word.end_pos or 0, str(word))

    def delay(self, amount: Any) -> Any:
        return n.Qualifier("after", amount.start, amount.end, amount=amount) if isinstance(amount, n.Amount) else amount

    def allow(self, value: n.Value, steps: n.Amount | None = None) -> tuple[n.Value | None, n.Amount | None]:
        return value, steps

    def only_steps(self, steps: n.Amount) -> tuple[n.Value | None, n.Amount | None]:
        return None, steps

    def steps(self, amount: n.Amount) -> n.Amount:
        return amount

    def measure(self, value: n.Value, *rest: Any) -> n.Measure:
        qualifiers: list[n.Qualifier] = []
        allow: n.Value | None = None
        steps: n.Amount | None = None
        end = value.end
        for each in rest:
            if isinstance(each, tuple):
                allow, steps = each
                end = max(end, allow.end if allow else 0, steps.end if steps else 0)
            else:
                qualifiers.append(each)
                end = max(end, each.end)
        return n.Measure(value, tuple(qualifiers), allow, steps, value.start, end)

    def quantity(self, body: Any) -> Any:
        return body

    fraction = age = number = ratio = quantity

    def by(self, key: Token) -> n.TableHead:
        return n.TableHead(_phrase(key))

    # ---- states
    on, yes, no = _tag("on"), _tag("yes"), _tag("no")

    def switched_on(self) -> n.State:
        return n.State("on", None, 0, 0)

    def off(self, because: n.Text | None = None) -> Any:
        return n.State("off", because.text if because else None, 0, 0)

    def because(self, text: Token) -> n.Text:
        return n.Text(unquote(text))

    def on_off(self, word: Any) -> str:
        return word.word if isinstance(word, n.State) else str(word)

    def state(self, word: Any, because: n.Text | None = None) -> n.State:
        return n.State(word.word if isinstance(word, n.State) else word, because.text if because else None, 0, 0)

    def after(self, amount: n.Amount) -> n.After:
        return n.After(amount, amount.start, amount.end)

    # ---- words and lists
    def mode(self, *codes: Token) -> n.ModeChoice:
        return n.ModeChoice(tuple(_phrase(code) for code in codes))

    def chosen(self, *words: Token) -> tuple[n.Phrase, ...]:
        return tuple(_phrase(word) for word in words)

    def words(self, *alternatives: tuple[n.Phrase, ...]) -> n.Words:
        return n.Words(alternatives)

    def item(self, name: Token, amount: n.Amount | None = None) -> n.Item:
        start, end = name.start_pos or 0, name.end_pos or 0
        return n.Item(str(name), amount, start, amount.end if amount else end)

    def list(self, *items: n.Item) -> n.Items:
        return n.Items(items)

    # ---- text, dates, identifiers
    def text(self, text: Token) -> n.Text:
        return n.Text(unquote(text))

    def date(self, date: Token) -> n.Moment:
        return n.Moment(str(date), None, date.start_pos or 0, date.end_pos or 0)

    def moment(self, date: Token, time: Token | None = None) -> n.Moment:
        end = (time.end_pos if time is not None else date.end_pos) or 0
        return n.Moment(str(date), str(time) if time is not None else None, date.start_pos or 0, end)

    def signed(self, moment: n.Moment, by: Token) -> n.Signed:
        return n.Signed(moment, unquote(by))

    def identifier(self, name: Token) -> n.Phrase:
        return _phrase(name)

    def count(self, number: Token) -> n.Part:
        return _count(number)

    def link(self, name: Token, revision: Token) -> n.Link:
        return n.Link(_phrase(name), _count(revision))

    # ---- oxygen and circuit
    def contents(self, amount: n.Amount) -> n.Cylinder:
        return n.Cylinder(amount)

    def letter(self, name: Token, *rest: Any) -> n.Cylinder:
        country = next((str(each) for each in rest if isinstance(each, Token)), None)
        pressure = next((each for each in rest if isinstance(each, n.Amount)), None)
        return n.Cylinder(None, _phrase(name), country, pressure)

    def cylinder(self, body: n.Cylinder) -> n.Cylinder:
        return body

    before_suction, around_suction = _tag("before suction"), _tag("before and after suction")

    def preoxygenation(self, fraction: n.Amount, *rest: Any) -> n.PreOxygenation:
        duration = next((each for each in rest if isinstance(each, n.Amount)), None)
        return n.PreOxygenation(fraction, duration, next((each for each in rest if isinstance(each, str)), None))

    patient_side, ventilator_side = _tag("patient side"), _tag("ventilator side")

    def nebuliser_place(self, place: str) -> str:
        return place

    def stays(self) -> tuple[str, None, bool]:
        return "stays", None, False

    def out(self, *rest: Any) -> tuple[str, n.Amount | None, bool]:
        duration = next((each for each in rest if isinstance(each, n.Amount)), None)
        return "out", duration, any(isinstance(each, str) for each in rest)

    returns = _tag("returns")

    def nebuliser(self, place: str, exchanger: tuple[str, n.Amount | None, bool] | None = None) -> n.Nebuliser:
        kind, duration, returns = exchanger or (None, None, False)
        return n.Nebuliser(place, kind, duration, returns)

    # ---- conditions and sentences
    above, below, least, most = _tag("above"), _tag("below"), _tag("at least"), _tag("at most")

    def compare(self, word: str) -> str:
        return word

    def comparison(
        self, reading: Token, compare: Any, amount: n.Amount, duration: n.Amount | None = None
    ) -> n.Comparison:
        return n.Comparison(_phrase(reading), compare, amount, duration)

    def both(self, *comparisons: n.Comparison) -> tuple[n.Comparison, ...]:
        return comparisons

    def condition(self, *either: tuple[n.Comparison, ...]) -> n.Condition:
        last = either[-1][-1]
        end = last.duration.end if last.duration else last.amount.end
        return n.Condition(either, either[0][0].reading.start, end)

    up, down = _tag("up to"), _tag("down to")

    def end_word(self, word: str) -> str:
        return word

    def limit(self, word: Any, amount: n.Amount, reference: n.Qualifier | None = None) -> n.Limit:
        end = reference.end if reference is not None else amount.end
        return n.Limit(word, amount, reference.word if reference is not None else None, amount.start, end)

    def every_time(self, amount: n.Amount) -> n.After:
        return n.After(amount, amount.start, amount.end)

    def raise_(self, *parts: Any) -> n.Step:
        terms = tuple(_phrase(each) for each in parts if isinstance(each, Token))
        step = next(each for each in parts if isinstance(each, n.Amount))
        every = next((each.amount for each in parts if isinstance(each, n.After)), None)
        limit = next((each for each in parts if isinstance(each, n.Limit)), None)
        return n.Step(terms, step, every, limit, next((each for each in parts if isinstance(each, n.Condition)), None))

    def stop(self, condition: n.Condition) -> n.Condition:
        return condition

    def call(self, whom: Token, when: n.Condition | None = None) -> n.Call:
        return n.Call(unquote(whom), when)

    def gases(self, *at: n.Amount) -> n.Gases:
        return n.Gases(at)

    def stage(self, duration: n.Amount, *rest: Any) -> n.Stage:
        times = next((each for each in rest if isinstance(each, n.Amount)), None)
        return n.Stage(duration, times, next((_phrase(each) for each in rest if isinstance(each, Token)), None))

    each_day = _tag("day")

    def every(self, what: Any) -> Any:
        return what if isinstance(what, str) else n.After(what, what.start, what.end)

    def extend(self, by: n.Amount, *rest: Any) -> n.Extend:
        every = next((each.amount for each in rest if isinstance(each, n.After)), None)
        up_to = next((each for each in rest if isinstance(each, n.Amount)), None)
        return n.Extend(by, every, up_to, "day" in rest)

    def return_(self, name: n.Phrase) -> n.Phrase:
        return name

    def accepted_value(self, amount: n.Amount, qualifier: n.Qualifier | None = None) -> n.AcceptedValue:
        return n.AcceptedValue(amount, qualifier)

    def accept(self, rule: Token, *rest: Any) -> n.Accept:
        def first(kind: str) -> Token | None:
            return next((each for each in rest if isinstance(each, Token) and each.type == kind), None)

        term, until = first("TERM"), first("DATE")
        period = next((each.text for each in rest if isinstance(each, n.Phrase)), None)
        because = next((each.text for each in rest if isinstance(each, n.Text)), None)
        by = first("TEXT")
        return n.Accept(
            rule=_phrase(rule),
            term=_phrase(term) if term is not None else None,
            value=next((each for each in rest if isinstance(each, n.AcceptedValue)), None),
            period=period,
            until=_phrase(until) if until is not None else None,
            because=because,
            by=unquote(by) if by is not None else None,
        )

    # ---- tables
    def key_between(self, low: n.Amount, high: n.Amount) -> n.RowKey:
        return n.RowKey("between", (low, high), low.start, high.end)

    def key_under(self, amount: n.Amount) -> n.RowKey:
        return n.RowKey("under", (amount,), amount.start, amount.end)

    def key_over(self, amount: n.Amount) -> n.RowKey:
        return n.RowKey("over", (amount,), amount.start, amount.end)

    def key_exact(self, amount: n.Amount) -> n.RowKey:
        return n.RowKey("exact", (amount,), amount.start, amount.end)

    def row(self, key: n.RowKey, measure: n.Measure) -> n.Row:
        return n.Row(key, measure)

    # ---- headings
    def name(self, *words: Token) -> n.Phrase:
        return n.Phrase(" ".join(words), words[0].start_pos or 0, words[-1].end_pos or 0)

    def window(self, start: Token, end: Token) -> n.Window:
        return n.Window(str(start), str(end), start.start_pos or 0, end.end_pos or 0)

    def windows(self, *windows: n.Window) -> tuple[n.Window, ...]:
        return windows

    def asleep(self) -> n.Period:
        return n.Period(None, "asleep", (), None, 0, 0)

    def awake(self) -> n.Period:
        return n.Period(None, "awake", (), None, 0, 0)

    def during_transfer(self) -> n.Period:
        return n.Period(None, "during transfer", (), None, 0, 0)

    def as_needed(self, up_to: n.Amount | None = None) -> n.Period:
        return n.Period(None, "as needed", (), up_to, 0, 0)

    def period(self, *parts: Any) -> n.Period:
        name = next((each.text for each in parts if isinstance(each, n.Phrase)), None)
        use = next((each for each in parts if isinstance(each, n.Period)), None)
        windows = next((each for each in parts if isinstance(each, tuple)), ())
        return n.Period(name, use.use if use else None, windows, use.up_to if use else None, 0, 0)

    def prescription(self, title: Token) -> n.Heading:
        return n.Heading("prescription", 0, title.end_pos or 0, unquote(title))

    def template(self, title: Token) -> n.Heading:
        return n.Heading("template", 0, title.end_pos or 0, unquote(title))

    def section(self, name: Token, period: n.Period | None = None) -> n.Heading:
        return n.Heading(str(name), name.start_pos or 0, name.end_pos or 0, period=period)

    def back_up(self, *parts: Any) -> n.Heading:
        delay = next((each for each in parts if isinstance(each, n.Amount)), None)
        period = next((each for each in parts if isinstance(each, n.Period)), None)
        return n.Heading("back-up", 0, 7, delay=delay, period=period)

    before_change, after_change = _tag("before"), _tag("after")

    def before_after(self, word: str) -> str:
        return word

    def readings(self, *parts: Any) -> n.Heading:
        change: Any = next((each for each in parts if isinstance(each, str) and not isinstance(each, Token)), None)
        moment = next((each for each in parts if isinstance(each, n.Moment)), None)
        by = next((unquote(each) for each in parts if isinstance(each, Token)), None)
        return n.Heading("readings", 0, 8, change=change, moment=moment, by=by)

    def readings_for(self, name: Token, revision: Token) -> n.Heading:
        return n.Heading("readings for", 0, 12, link=n.Link(_phrase(name), _count(revision)))

    def checked(self, moment: n.Moment, by: Token, code: Token | None = None) -> n.Heading:
        return n.Heading("checked", 0, 7, moment=moment, by=unquote(by), code=str(code) if code is not None else None)

    def heading(self, body: n.Heading) -> n.Heading:
        return body


# Python's own words can't be method names; the grammar's rules keep the plain ones.
setattr(Builder, "raise", Builder.raise_)
setattr(Builder, "return", Builder.return_)


def _age_parts(token: Token) -> tuple[n.Part, ...]:
    start = token.start_pos or 0
    return tuple(
        n.Part(
            Fraction(match.group(1)),
            match.group(1),
            match.group(2),
            start + match.start(),
            start + match.end(1),
            start + match.end(),
        )
        for match in _AGE_PART.finditer(str(token))
    )

"""Facts x rules -> findings and coverage, for one document. Pure: the same document and packs give the same answer."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

from rxlint.expressions import Environment, PointEnvironment, condition, decide
from rxlint.extension import PythonRule
from rxlint.model.facts import Facts, facts_of
from rxlint.notation.events import Event
from rxlint.notation.tree import Document, Entry, Reported
from rxlint.packs import LEVELS, Level, Rule
from rxlint.packs.events import EVENTS as WALK_EVENTS
from rxlint.screening.acceptances import EVENTS as ACCEPTANCES
from rxlint.screening.acceptances import judge
from rxlint.screening.alarms_off import walk_alarms_off
from rxlint.screening.answers import answer_as_set, is_beyond, never_applies, why_unsure
from rxlint.screening.calculation import calculation_of
from rxlint.screening.checks import CHECK_EVENTS, walk_checks
from rxlint.screening.conditions import walk_conditions
from rxlint.screening.corrections import corrections_of
from rxlint.screening.courses import asked_of_courses, slow_courses
from rxlint.screening.finding import Coverage, Finding, Outcome, Related, Row, Suggestion, fingerprint_of, summarise
from rxlint.screening.follows import RESOLVED, resolve
from rxlint.screening.outside import COMPARED, walk_template
from rxlint.screening.periods import walk_periods
from rxlint.screening.places import places_of
from rxlint.screening.plans import NOT_MODELLED, Step, Where, plan_of
from rxlint.screening.pressure_units import walk_pressure_units
from rxlint.screening.profile_walk import EVENTS as PROFILE_EVENTS
from rxlint.screening.profile_walk import walk_profiles
from rxlint.screening.python_rules import ask, finding_of
from rxlint.screening.reading_sets import walk_reading_sets
from rxlint.screening.ruleset import Prepared, RuleSet, slot_values
from rxlint.screening.same_limit import stricter_speaks
from rxlint.screening.shelf import Shelf
from rxlint.screening.site import changes, marked, marked_coverage, not_checked
from rxlint.screening.sound import HARDEST, sound_ranges
from rxlint.screening.step_sizes import walk_step_sizes
from rxlint.screening.tables import TABLE_EVENTS, walk_tables
from rxlint.screening.telling import ALLOWED_WITH, in_order, told_once, without_yielding
from rxlint.screening.time_off import walk_time_off
from rxlint.screening.titration import walk_titrations
from rxlint.screening.values import Teller
from rxlint.screening.walks import BUDGET, Found, Walk, example_text, walk_scope


@dataclass(frozen=True, slots=True)
class Crash:
    """A rule that failed instead of answering: a fault of the program or of an extension, never hidden."""

    rule: str
    error: str
    is_pack: bool = False  # rules of an extension that could not be loaded: ``rule`` is the name they were asked for by

    @property
    def told(self) -> str:
        """What has failed, in words."""
        if self.is_pack:
            return f"the Python rules {self.rule} were not checked: {self.error}"
        return f"the rule {self.rule} failed and was not checked: {self.error}"


@dataclass(frozen=True, slots=True)
class Screening:
    """What the rules made of a document."""

    findings: tuple[Finding, ...]
    coverage: Coverage
    crashes: tuple[Crash, ...] = ()


_PLACE_OF_EVENT: Final = {event: place for place, event in enumerate(WALK_EVENTS)}


class _Run:
    def __init__(self, document: Document, rules: RuleSet) -> None:
        self.document = document
        self.rules = rules
        self.findings: list[Finding] = []
        self.rows: dict[str, list[Row]] = {}
        self.crashes: list[Crash] = []
        self.asked: dict[int, tuple[Rule, Facts]] = {}  # by the identity of a finding on values as set

    def row(
        self,
        rule: str,
        outcome: Outcome,
        facts: Facts | None = None,
        lacks: Iterable[str] = (),
        reasons: Sequence[str] = (),
    ) -> None:
        period = facts.period if facts is not None else None
        band = facts.band.label if facts is not None and facts.band is not None else None
        told = tuple(sorted(facts.lacks(lacks) if facts is not None else lacks))
        self.rows.setdefault(rule, []).append(Row(rule, outcome, told, tuple(dict.fromkeys(reasons)), period, band))

    # ---- rules found by events
    def reader(self) -> None:
        names = {reported.event.name for reported in self.document.reported}
        for event, rules in self.rules.found_by.items():
            if event in WALK_EVENTS:
                continue
            for rule in rules:
                self.row(rule.id, "broken" if event in names else "met")
        for reported in self.document.reported:
            for rule in self.rules.found_by.get(reported.event.name, ()):
                self.findings.append(self.from_reader(rule, reported))

    def from_reader(self, rule: Rule, reported: Reported) -> Finding:
        event, entry = reported.event, reported.entry
        place = entry.place(event.start, max(event.end, event.start + 1))
        code = entry.text
        suggestions = tuple(_reading(reading, event, entry) for reading in event.readings if event.end > event.start)
        related = tuple(Related(other.place(start, end), text) for other, start, end, text in reported.related)
        message = _fill(rule, dict(event.fields))
        return Finding(
            rule.id,
            rule.bounded(rule.level),
            "broken",
            message,
            place,
            related,
            (),
            suggestions,
            fingerprint=fingerprint_of(rule.id, code),
        )

    def try_walk(self, events: Iterable[str], make: Callable[[], Walk], facts: Facts | None) -> None:
        """Walk; where that fails, every rule that it feeds has failed, and the others go on."""
        try:
            self.walk(make(), facts)
        except Exception as error:
            for rule in (rule for event in events for rule in self.rules.found_by.get(event, ())):
                self.crashed(rule.id, error, facts)

    def crashed(self, rule: str, error: Exception, facts: Facts | None) -> None:
        self.crashes.append(Crash(rule, f"{type(error).__name__}: {error}"))
        self.row(rule, "not checked", facts, reasons=["the rule failed"])

    def walk(self, walk: Walk, facts: Facts | None) -> None:
        found_by = {each.name for each in walk.found}
        for event in sorted(walk.ran.union(found_by, walk.unsure), key=_PLACE_OF_EVENT.__getitem__):
            for rule in self.rules.found_by.get(event, ()):
                found = [each for each in walk.found if each.name == event]
                for each in found:
                    self.findings.append(self.from_walk(rule, each, facts))
                if found:
                    self.row(
                        rule.id, "can break" if all(each.outcome == "can break" for each in found) else "broken", facts
                    )
                elif event in walk.unsure:
                    self.row(rule.id, "not checked", facts, reasons=[walk.unsure[event]])
                elif event in walk.ran:
                    self.row(rule.id, "met", facts)

    def from_walk(self, rule: Rule, found: Found, facts: Facts | None) -> Finding:
        outcome: Outcome = "can break" if found.outcome == "can break" else "broken"
        return Finding(
            rule.id,
            self.level(rule, facts.as_set if facts else None),
            outcome,
            _fill(rule, dict(found.fields)),
            found.entry.place(found.start, found.end),
            tuple(Related(entry.whole(), text) for entry, text in found.related),
            found.calculation,
            found.corrections,
            found.example,
            facts.period if facts else None,
            facts.band.label if facts is not None and facts.band is not None else None,
            sound=found.sound,
            fingerprint=fingerprint_of(rule.id, found.entry.text),
        )

    # ---- rules with an expression
    def scope(self, facts: Facts, has_readings: bool) -> None:
        plan = plan_of(facts, self.rules, has_readings)
        if plan is None:
            self.every_rule(facts, has_readings)
            return
        where = facts.period, facts.band.label if facts.band is not None else None
        values = slot_values(facts, self.rules, plan.needed)
        rows = self.rows
        settled, steps = plan.split(where)
        for row in settled:
            rows.setdefault(row.rule, []).append(row)
        for step, known in steps:
            if known is not None:
                rows.setdefault(known.rule, []).append(known)
                continue
            try:
                if step.varies:
                    self.evaluate(step.prepared, facts, values)
                else:
                    self.as_set(step, facts, values, where)
            except Exception as error:  # a failing rule must not hide the others' findings
                self.crashed(step.prepared.rule.id, error, facts)

    def as_set(self, step: Step, facts: Facts, values: list[Any], where: Where) -> None:
        """Ask a rule that reads nothing that varies."""
        answer = answer_as_set(step.prepared, facts, values)
        if answer.outcome == "broken":
            self.broken_as_set(step.prepared, facts)
        elif answer.missing or answer.reasons:
            self.row(step.prepared.rule.id, answer.outcome, facts, answer.missing, answer.reasons)
        else:
            row = step.plain_row(answer.outcome, where)
            self.rows.setdefault(row.rule, []).append(row)

    def every_rule(self, facts: Facts, has_readings: bool) -> None:
        """Ask every rule, where a line could not be told."""
        values = slot_values(facts, self.rules)
        own = facts.scope.readings is not None
        for prepared in self.rules.rules:
            if prepared.uses_readings == own or (not own and not has_readings):
                if is_beyond(prepared, facts):
                    self.row(prepared.rule.id, "not checked", facts, reasons=[NOT_MODELLED])
                    continue
                try:
                    self.evaluate(prepared, facts, values)
                except Exception as error:  # a failing rule must not hide the others' findings
                    self.crashed(prepared.rule.id, error, facts)

    def broken_as_set(self, prepared: Prepared, facts: Facts) -> None:
        """A finding on the values as set."""
        self.row(prepared.rule.id, "broken", facts)
        self.findings.append(self.finding(prepared, facts, facts.as_set, "broken", None))
        self.asked[id(self.findings[-1])] = (prepared.rule, facts)

    def courses(self, scopes: Sequence[Facts]) -> None:
        """Rules that hold a set of readings against the one before it, asked of older sets too."""
        try:
            for prepared, facts in slow_courses(scopes, self.rules):
                self.broken_as_set(prepared, facts)
        except Exception as error:  # then all of these rules have failed, and the others go on
            for rule in dict.fromkeys(each.rule.id for each in asked_of_courses(self.rules)):
                self.crashed(rule, error, None)

    # ---- rules written in Python
    def python(self, facts: Facts, has_readings: bool) -> None:
        own = facts.scope.readings is not None
        for rule in self.rules.python:
            assert isinstance(rule.python, PythonRule)
            if rule.python.reads_readings == own or (not own and not has_readings):
                self.ask(rule, rule.python, facts)

    def ask(self, rule: Rule, python: PythonRule, facts: Facts) -> None:
        if facts.band is not None and facts.band.is_elsewhere:  # another row than the one that is in force
            self.row(rule.id, "does not apply", facts)
            return
        answer = ask(python, facts)
        if answer.failure is not None:
            self.crashes.append(Crash(rule.id, answer.failure))
            self.row(rule.id, "not checked", facts, reasons=["the rule failed"])
        unsure = why_unsure(answer.absent, facts)
        if unsure:
            self.row(rule.id, "not checked", facts, reasons=[unsure])
            return
        self.row(rule.id, answer.outcome, facts, answer.lacks, answer.reasons)
        self.findings += [finding_of(rule, each, facts, self.document) for each in answer.found]

    def judged(self, findings: list[Finding], scopes: Sequence[Facts], today: datetime.date | None) -> list[Finding]:
        """The findings as the document's acceptances leave them, with what there is to say of these."""
        before = len(self.findings)
        told = findings
        try:
            told, walk = judge(self.document, findings, self.rules, scopes, self.rows, today)
            self.walk(walk, None)
        except Exception as error:  # then nothing is accepted, and every rule of acceptances has failed
            for rule in (rule for event in ACCEPTANCES for rule in self.rules.found_by.get(event, ())):
                self.crashed(rule.id, error, None)
        return told + self.findings[before:]

    def evaluate(self, prepared: Prepared, facts: Facts, values: list[Any]) -> None:
        rule = prepared.rule
        assert rule.require is not None
        unsure = why_unsure(prepared.asks_presence, facts)
        axes = (
            [facts.allowed[key] for key in facts.closure(prepared.names_used) if key in facts.allowed]
            if facts.allowed
            else []
        )
        elsewhere = facts.band is not None and facts.band.is_elsewhere
        if all(axis.as_set is not None for axis in axes) and not elsewhere:
            answer = answer_as_set(prepared, facts, values)
            outcome: Outcome = answer.outcome
            if outcome == "broken" and not unsure:
                self.broken_as_set(prepared, facts)
                return
            if outcome in ("broken", "not checked") or not axes or rule.as_set_only:
                self.settle(prepared, facts, outcome, answer.missing, answer.reasons)
                return
            self.decide(prepared, facts, unsure, False)
        elif rule.as_set_only:
            self.settle(prepared, facts, "does not apply", (), ())
        else:
            self.decide(prepared, facts, unsure, not elsewhere)

    def settle(
        self, prepared: Prepared, facts: Facts, outcome: Outcome, missing: Iterable[str], reasons: Sequence[str]
    ) -> None:
        """Write down an outcome, unless it rests on the absence of a term in a section with a line unread."""
        unsure = why_unsure(prepared.asks_presence, facts) if outcome not in ("met", "not checked") else ""
        if unsure and not (outcome == "does not apply" and never_applies(prepared, facts)):
            self.row(prepared.rule.id, "not checked", facts, reasons=[unsure])
        else:
            self.row(prepared.rule.id, outcome, facts, missing, reasons)

    def decide(self, prepared: Prepared, facts: Facts, unsure: str, unset: bool) -> None:
        rule = prepared.rule
        assert rule.require is not None
        decision = decide(rule.when, rule.require, facts.space, BUDGET, facts.common)
        outcome: Outcome
        match decision.outcome:
            case "broken everywhere":
                outcome = "broken" if unset else "can break"
            case "unsatisfiable":
                outcome = "does not apply"
            case other:
                outcome = other
        self.settle(prepared, facts, outcome, decision.missing, decision.reasons)
        if unsure:
            return
        if outcome in ("broken", "can break"):
            assert decision.example is not None
            self.findings.append(
                self.finding(
                    prepared,
                    facts,
                    PointEnvironment(facts.space, decision.example),
                    outcome,
                    decision.example,
                    decision.boxes,
                )
            )
        elif outcome == "undecided":
            self.findings.append(self.undecided(prepared, facts, decision.boxes))

    def finding(
        self,
        prepared: Prepared,
        facts: Facts,
        environment: Environment,
        outcome: Outcome,
        example: Mapping[str, Any] | None,
        boxes: int = 0,
    ) -> Finding:
        rule = prepared.rule
        assert rule.require is not None
        teller = Teller(facts, prepared.names, self.rules.defined)
        place, related, entry = places_of(rule, facts, self.document)
        told = example_text(facts, example) if example is not None else None
        message = teller.message(rule.say, environment)
        if outcome == "can break" and told:
            allowed = ", ".join(f"{key} {value}" for key, value in told.items())
            message = f"{ALLOWED_WITH}{allowed}: {message}"
        wanted = (rule.require, *((rule.when,) if rule.when is not None else ()))
        return Finding(
            rule.id,
            self.level(rule, environment, outcome),
            outcome,
            message,
            place,
            related,
            calculation_of(wanted, teller, environment),
            corrections_of(rule, facts, prepared.names, self.rules.defined) if example is None else (),
            told,
            facts.period,
            facts.band.label if facts.band is not None else None,
            sound=sound_ranges(rule.when, rule.require, facts, example)
            if outcome == "can break" and example and boxes <= HARDEST
            else (),
            policy=changes(prepared.reads, self.rules, teller, environment),
            fingerprint=fingerprint_of(rule.id, entry.text),
        )

    def undecided(self, prepared: Prepared, facts: Facts, boxes: int) -> Finding:
        place, related, entry = places_of(prepared.rule, facts, self.document)
        message = (
            f"not decided for everything that is allowed: {prepared.rule.title[:1].lower()}{prepared.rule.title[1:]} "
            f"(the search ended after {boxes:,} parts of what is allowed; at most {BUDGET:,} are looked at)"
        )
        level: Level = "note" if "note" in (prepared.rule.level, prepared.rule.level_where_allowed) else "query"
        return Finding(
            prepared.rule.id, level, "undecided", message, place, related, period=facts.period,
            band=facts.band.label if facts.band is not None else None,
            fingerprint=fingerprint_of(prepared.rule.id, entry.text),
        )  # fmt: skip

    def level(self, rule: Rule, environment: Environment | None, outcome: Outcome = "broken") -> Level:
        """The rule's level there, or the stricter one whose condition holds; never above what its basis allows."""
        level = rule.level
        if outcome == "can break" and rule.level_where_allowed is not None:
            level = rule.level_where_allowed
        for stricter in rule.stricter:
            if environment is not None and condition(stricter.when, environment) is True:
                level = min(level, stricter.level, key=LEVELS.index)
        return rule.bounded(level)


def _fill(rule: Rule, fields: dict[str, str]) -> str:
    parts = [part if isinstance(part, str) else fields.get(part.text, "") for part in rule.say.parts]
    return " ".join("".join(parts).split())


def _reading(text: str, event: Event, entry: Entry) -> Suggestion:
    """What a line may have meant, at the place where it would stand."""
    start, end = event.over or (event.start, event.end)
    return Suggestion(text, "", entry.place(start, end), text if end > start else f" {text}", is_reading=True)


_PERIOD_EVENTS: Final = tuple(event for event in WALK_EVENTS if event.startswith("periods."))
_SET_EVENTS: Final = tuple(event for event in WALK_EVENTS if event.startswith("readings."))
_ELSEWHERE: Final = frozenset((*ACCEPTANCES, *CHECK_EVENTS, *PROFILE_EVENTS))
_SCOPE_EVENTS: Final = tuple(
    event
    for event in WALK_EVENTS
    if event not in _ELSEWHERE and not event.startswith(("change.", "library.", "periods.", "readings."))
)


def walk_everything(facts: Facts, rules: RuleSet) -> Walk:
    """All walks over one scope."""
    walk = walk_scope(facts)
    walk_titrations(facts, rules, walk)
    walk_alarms_off(facts, rules, walk)
    walk_conditions(facts, rules, walk)
    walk_step_sizes(facts, rules, walk)
    walk_pressure_units(facts, walk)
    walk_time_off(facts, rules, walk)
    return walk


def _one_a_scope(scopes: Sequence[Facts]) -> list[Facts]:
    """One of the bands and modes of each scope, as what is said of its tables as wholes."""
    first = {id(facts.scope): facts for facts in reversed(scopes) if facts.scope.readings is None}
    return [replace(facts, band=None) for facts in first.values()]


def _follow(run: _Run, document: Document, scopes: Sequence[Facts], shelf: Shelf | None) -> None:
    """What the document follows, and how it compares with that. A failure is that of all rules that rest on it."""
    try:
        followed, walk = resolve(document, scopes, shelf)
    except Exception as error:
        for rule in (rule for event in (*RESOLVED, *COMPARED) for rule in run.rules.found_by.get(event, ())):
            run.crashed(rule.id, error, None)
        return
    run.try_walk(RESOLVED, lambda: walk, None)
    template, link = followed.template, followed.link
    if template is None or link is None:
        return
    for facts in scopes:
        if facts.scope.readings is None:
            run.try_walk(COMPARED, partial(walk_template, facts, template, followed.label, link), facts)


def screen_document(
    document: Document, rules: RuleSet, today: datetime.date | None = None, shelf: Shelf | None = None
) -> Screening:
    """Run every rule on a document. ``today`` is the day on which dates are judged (None: they are not), ``shelf`` the
    library in which it stands (None: what it follows can't be looked for).
    """
    run = _Run(document, rules)
    run.reader()
    scopes: list[Facts] = []
    if document.kind is not None or document.blocks:
        scopes = list(facts_of(document, rules.defined_nodes, today))
        has_readings = any(facts.scope.readings is not None for facts in scopes)
        for facts in scopes:
            run.scope(facts, has_readings)
            run.python(facts, has_readings)
            if facts.scope.readings is None:
                run.try_walk(_SCOPE_EVENTS, partial(walk_everything, facts, rules), facts)
                run.try_walk(PROFILE_EVENTS, partial(walk_profiles, facts, rules.profiles), facts)
        run.courses(scopes)
        for facts in _one_a_scope(scopes):
            run.try_walk(TABLE_EVENTS, partial(walk_tables, facts), facts)
        run.try_walk(_PERIOD_EVENTS, partial(walk_periods, document), None)
        run.try_walk(_SET_EVENTS, partial(walk_reading_sets, document), None)
        run.try_walk(CHECK_EVENTS, partial(walk_checks, document), None)
        _follow(run, document, scopes, shelf)
    run.findings += not_checked(document, run.rows, rules)
    judged = run.judged(without_yielding(run.findings, rules), scopes, today)
    if rules.policies:
        judged = stricter_speaks(judged, run.asked)
    findings = marked(in_order(told_once(judged)), rules)
    coverage = marked_coverage(summarise(run.rows, rules.order), rules)
    unloaded = (Crash(each.name, each.error, is_pack=True) for each in rules.unloaded)
    return Screening(findings, coverage, (*run.crashes, *unloaded))

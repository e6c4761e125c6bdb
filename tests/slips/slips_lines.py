"""Kinds of slips with whole lines: lost, doubled, under another heading, a heading lost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rxlint.notation import nodes as n
from tests.slips.at_hand import given_away
from tests.slips.sheet import Detail, Sheet, Slip

_SEALED = ("reserve", "keep")  # these have kinds of their own

# Which rules may miss a line: by section, or by its term.
_MISSED: Mapping[str, tuple[str, ...]] = {
    "head": ("governance.", "notation."),
    "airway": ("airway.", "order.", "circuit.", "alarms.decannulation", "volume.", "humidity."),
    "circuit": ("circuit.", "order.", "humidity.", "oxygen.", "airway."),
    "settings": ("mode.", "order.", "pressure.", "timing.", "volume.", "alarms.", "oxygen.", "humidity.high-flow",
                 "relation."),
    "back-up": ("mode.", "timing.", "volume."),
    "oxygen": ("oxygen.", "transport.", "circuit.oxygen-inlet"),
    "alarms": ("alarms.",),
    "targets": ("oxygen.no-target", "oxygen.", "target.", "monitoring.", "alarms.", "volume.target-with-leak"),
    "titration": ("titration.",),
    "off ventilator": ("weaning.",),
    "monitoring": ("monitoring.", "titration.unmeasured", "alarms.unmeasured", "airway.cuff-gauge", "equipment.",
                   "transport."),
    "equipment": ("equipment.", "transport.", "airway.cuff-gauge", "monitoring."),
    "escalation": ("escalation.",),
    "readings": ("reading.",),
    "patient": ("patient.", "order.", "volume.", "oxygen.", "mode.", "equipment.", "escalation.", "monitoring.",
                "circuit.", "alarms.missing", "timing."),
}  # fmt: skip

_PLAIN = "it says what holds anyway, and an order is complete without it"
_CHOICE = "not every ward sets it, and the order is complete without it"

# Lines that an order may do without, with the reason why it is signed all the same.
_OPTIONAL: Mapping[tuple[str, str], str] = {
    ("head", "notation"): "the version of the notation says nothing of the patient",
    ("patient", "indication"): "the diagnosis stands there, and the indication is in the notes",
    ("patient", "hypercapnia risk"): _PLAIN,
    ("patient", "secretions"): _PLAIN,
    ("patient", "hours ventilated"): _PLAIN,
    ("patient", "unaided up to"): _PLAIN,
    ("patient", "spontaneous breathing"): _PLAIN,
    ("patient", "height"): "nothing of this order is counted by it",
    ("patient", "compliance"): "it is measured in few patients",
    ("patient", "resistance"): "it is measured in few patients",
    ("patient", "corrected age"): "few orders state it",
    ("patient", "gestation"): "few orders state it",
    ("airway", "cuff pressure"): "it is kept by the ward's own rule",
    ("circuit", "leak port flow"): "it is told by the maker of the port",
    ("circuit", "oxygen inlet"): _PLAIN,
    ("circuit", "humidification"): "the assembly shows it",
    ("circuit", "humidifier temperature"): "humidifiers have one usual temperature",
    ("circuit", "nebuliser"): "the drug is ordered elsewhere",
    ("settings", "rise time"): _CHOICE,
    ("settings", "trigger"): _CHOICE,
    ("settings", "trigger sensitivity"): _CHOICE,
    ("settings", "cycle-off"): _CHOICE,
    ("settings", "inspiratory pause"): _CHOICE,
    ("settings", "inspiratory flow"): "it follows from volume and time",
    ("settings", "I:E"): "it follows from rate and time",
    ("settings", "minimum inspiratory time"): _CHOICE,
    ("settings", "maximum inspiratory time"): _CHOICE,
    ("settings", "back-up rate"): _CHOICE,
    ("settings", "gas temperature"): "humidifiers have one usual temperature",
    ("oxygen", "pre-oxygenation"): "it is given by the ward's own rule",
    ("oxygen", "cylinder"): "the supply at home is kept by the company that delivers it",
    ("oxygen", "cylinders"): "one cylinder is enough for the way with its reserve",
    ("alarms", "high minute volume"): _CHOICE,
    ("alarms", "low PEEP"): _CHOICE,
    ("alarms", "high rate"): _CHOICE,
    ("alarms", "low EtCO2"): _CHOICE,
    ("alarms", "high EtCO2"): _CHOICE,
    ("alarms", "low inspiratory pressure"): _CHOICE,
    ("alarms", "high leak"): _CHOICE,
    ("alarms", "high SpO2"): _CHOICE,
    ("alarms", "low minute volume"): _CHOICE,
    ("alarms", "power loss"): "a ventilator tells of a loss of power whether it is ordered or not",
    ("targets", "total leak"): _CHOICE,
    ("targets", "unintentional leak"): _CHOICE,
    ("targets", "rate"): _CHOICE,
    ("targets", "pH"): _CHOICE,
    ("targets", "EtCO2"): _CHOICE,
    ("targets", "PaCO2"): _CHOICE,
    ("targets", "PaO2"): _CHOICE,
    ("targets", "plateau pressure"): _CHOICE,
    ("targets", "driving pressure"): _CHOICE,
    ("targets", "expired tidal volume"): _CHOICE,
    ("targets", "minute volume"): _CHOICE,
    ("titration", "stop when"): "each step has its end",
    ("off ventilator", "extend"): "a plan may stay at its first stage",
    ("escalation", "gases"): _CHOICE,
    ("escalation", "ceiling"): "it is agreed in the notes",
}  # fmt: skip


def _lost(sheet: Sheet, detail: Detail, signed: str) -> Slip:
    """A lost line has no place: it is missed wherever it is needed, by the rules of its section."""
    fitting = _MISSED.get(detail.section, ())
    if isinstance(detail.body, n.Accept):
        fitting = (detail.body.rule.text,)
    return sheet.without(detail.first, detail.last, fitting, (), signed)


def optional(sheet: Sheet, detail: Detail) -> str:
    """Why an order without this line would be signed; empty where it would not."""
    if detail.section == "readings":
        return "readings are taken as they are needed, and this one need not be"
    reason = _OPTIONAL.get((detail.section, detail.term), "")
    return reason or _by_kind_of_order(sheet, detail) or _by_others(sheet, detail)


def _by_kind_of_order(sheet: Sheet, detail: Detail) -> str:
    """Lines that an order of this kind may do without."""
    mode = sheet.word("settings", "mode")
    match detail.section, detail.term:
        case "patient", "sex" if sheet.is_template:
            return "a template that names neither is for both"
        case "airway", "tube size" if sheet.is_template:
            return "the tube is chosen for the patient, and not by the template"
        case "alarms", "disconnection" | "apnoea" if mode == "high flow":
            return "high flow has no breaths of the ventilator's own that could be missed"
        case "alarms", "low SpO2" if " off" in detail.entry.text:
            return "it was off for the hours awake, and not every order says so"
        case "equipment", _ if isinstance(detail.body, n.Items):
            return given_away(sheet, detail, detail.body.items)
        case "settings", "minimum inspiratory pressure" if not mode.startswith("S/T"):
            return "with a tube many ventilators have no such setting beside a volume target"
    return ""


def _by_others(sheet: Sheet, detail: Detail) -> str:
    """Lines that an order may do without because of what its other lines say."""
    others = {each.term for each in sheet.beside(detail) if each.first != detail.first}
    match detail.section, detail.term:
        case "escalation", "call" if "call" in others:
            return "another line says whom to call"
        case "titration", "raise" | "lower" if not others or others & {"raise", "lower"}:
            return "steps are leave to act, and nobody need give it"
        case "settings", "tidal volume" if "volume target" in others:
            return "the volume target says the same"
        case "settings", "volume target" if "tidal volume" in others:
            return "the tidal volume says the same"
        case "settings", "pressure support" if {"IPAP", "EPAP"} <= others:
            return "it follows from the two levels"
        case "settings", "inspiratory time" if {"inspiratory flow", "tidal volume"} <= others or "I:E" in others:
            return "it follows from the other lines"
        case "circuit", "assembly" if "expiratory limb" not in others and "humidification" in others:
            return "the circuit's family and its humidification are told, and its parts are stock"
    return ""


def line_lost(sheet: Sheet) -> Iterator[Slip]:
    for detail in sheet.details:
        if not detail.is_row and detail.term not in _SEALED:
            yield _lost(sheet, detail, optional(sheet, detail))


def row_lost(sheet: Sheet) -> Iterator[Slip]:
    """A row of a table is lost, and with it what holds for a part of the patients."""
    for detail in sheet.details:
        if detail.is_row:
            near = [*range(detail.first - 8, detail.first + 9)]
            fitting = (
                "library.table-gap",
                "mode.",
                "alarms.",
                "timing.",
                "pressure.",
                "notation.",
                "patient.",
                "volume.",
            )
            yield sheet.without(detail.first, detail.last, fitting, near)


def line_doubled(sheet: Sheet) -> Iterator[Slip]:
    """A line is there twice, as after copying. A list or a call that is said twice says the same, and is left out."""
    fitting = (
        "notation.repeated-term",
        "notation.repeated-line",
        "notation.details-not-taken",
        "titration.",
        "weaning.",
        "mode.",
        "relation.",
    )
    for detail in sheet.details:
        if detail.section in ("escalation", "monitoring", "equipment") or detail.term == "keep":
            continue
        new = list(sheet.lines[detail.first - 1 : detail.last])
        slip = sheet.inserted(detail.last, new, fitting, new[0].strip())
        yield Slip(slip.text, slip.lines | {detail.first}, slip.before, slip.after, fitting)


def line_under_next_heading(sheet: Sheet) -> Iterator[Slip]:
    """The last line of a section slips under the next heading."""
    fitting = ("notation.misplaced-term", "notation.unknown-term", "notation.unknown-word", "notation.not-understood",
               "notation.details-not-taken", "notation.repeated-term", "mode.", "timing.", "alarms.",
               # what the line said is missed where it stood
               "oxygen.unstated", "humidity.contradiction", "monitoring.none", "airway.tube-size-unstated")  # fmt: skip
    for heading, following in zip(sheet.headings, sheet.headings[1:], strict=False):
        own = [each for each in sheet.details if each.block == heading.block and not each.is_row]
        if own and own[-1].last < following.line:
            last = own[-1]
            moved = sheet.lines[last.first - 1 : last.last]
            rest = sheet.lines[last.last : following.line]
            lines = [*sheet.lines[: last.first - 1], *rest, *moved, *sheet.lines[following.line :]]
            at = following.line - len(moved)
            left = [each.first for each in own[:-1]]  # what stays behind is what lacks the line
            related = frozenset([at, *range(at + 1, at + 1 + len(moved)), heading.line, *left])
            before = moved[0].strip()
            yield Slip("\n".join(lines), related, before, f"{before}   (now under {following.section})", fitting)


def heading_lost(sheet: Sheet) -> Iterator[Slip]:
    fitting = ("notation.", "mode.", "alarms.", "monitoring.", "circuit.", "airway.", "humidity.")
    for before, heading in zip(sheet.headings, sheet.headings[1:], strict=False):
        own = [each.first for each in sheet.details if each.block == heading.block]
        if own:
            whole = before.section == heading.section and before.period is None
            why = "what held for a part of the day then holds for all of it" if whole else ""
            yield sheet.without(heading.line, heading.line, fitting, own, why)

"""Layouts that nobody would choose: of a sound document, and of lines that belong together or not."""

import re

from hypothesis import strategies as st

from rxlint.model.content import is_read
from rxlint.notation.layout import groups_of
from rxlint.notation.tree import Entry
from rxlint.text import Line, code_of
from tests.notation.plain import document_of

_SPACES = re.compile(r'("(?:\\.|[^"\\])*")|[ \t]+')
_POOL = [
    'prescription "x"',
    'template  "y"',
    "  notation 1",
    "settings",
    "settings night from 22:00 to 07:00",
    "alarms",
    "patient",
    "circuit",
    "monitoring",
    "escalation",
    "off ventilator",
    "titration",
    "accepted",
    "settigns",
    "readings",
    'checked 2026-11-02 16:05 by "a"',
    "readings for A revision 1",
    "PEEP  5 cmH2O",
    "PEEP 5",
    "rate  20 /min",
    "age  7 years",
    "inspiratory time by age",
    "rate by age  # of the child",
    "rate by agee",
    "1 to 3 years  0.7 s",
    "3 to 6 years 20 /min",
    "6 years and over",
    "30 % to 40 %  5 cmH2O",
    "limb dual",
    "assembly  ventilator, filter,",
    "assembly ventilator,",
    "tubing 160 cm, Y-piece",
    "tubing 160 cm,",
    "pulse oximeter,capnograph",
    "pulse oximeter ,",
    "kapnograph,",
    "keep PEEP > 2 cmH2O",
    "keep PEEP = a,",
    'call  "a  b"  when SpO2 below 90 %',
    "gases at 1 h,",
    "4 h",
    "gases at 1 h and 4 h",
    'ceiling "x # y"',
    "30 min 2 times/day",
    "return to day",
    "raise PEEP by 1 cmH2O when SpO2 below 90 %",
    "power loss off",
    "power loss  on # x",
    'power loss off because "a\\"  b"',
    "# note",
    "#",
    "",
    "",
    "\t",
    "P\u0415EP 5 cmH2O",
    "rate\u00a020 /min",
    "rate 20 /min\u00a0",
    "# \u202e note",
    "rate 2\u200b0 /min",
    '"',
    '"open',
    "5 cmH2O PEEP",
    ",",
    "high rate 40 /min,",
    "trigger flow,leak-compensated",
    "trigger flow , leak-compensated",
    "x\r",
    "\x0c",
    "rate 20 /min\x0b",
]


def _cut(line: Line) -> tuple[str, str, str]:
    """The indentation of a line, its code and its comment."""
    end = code_of(line.text)
    code = line.text[:end].rstrip(" \t")
    stripped = code.lstrip(" \t")
    return code[: len(code) - len(stripped)], stripped, line.text[end:].rstrip(" \t")


def flattened(text: str) -> str:
    """The text with one space for white space in code, which leaves no column. What can't be read is kept."""
    document = document_of(text)
    readable = {
        line.number
        for entry in document.entries
        if entry.kind != "unread" and not entry.events and (entry.statement is None or is_read(entry))
        for line in entry.lines
    }
    out = []
    for line in document.source.lines:
        indent, code, comment = _cut(line)
        if line.number in readable and code:
            code = _SPACES.sub(lambda found: found.group(1) or " ", code)
            out.append(f"{indent}{code}{' ' if comment else ''}{comment}{line.ending}")
        else:
            out.append(line.text + line.ending)
    return document.source.mark + "".join(out)


@st.composite
def damaged(draw: st.DrawFn, text: str) -> str:
    """A sound document in another layout: other indentation, spaces, tabs, blank lines and places of comments."""
    groups, rest = groups_of(document_of(text), is_read)
    assert not rest, "what stands after the last section has no place of its own"
    blanks = st.integers(0, 2).map(lambda count: "\n" * count)
    out: list[str] = []
    for group in groups:
        out.append(draw(blanks))
        notes = [_cut(line)[2] for entry in group.lead for line in entry.lines]
        out += [f"{note}{draw(_ends)}\n" for note in notes if note]
        assert group.heading is not None
        out += draw(_statement(group.heading, 0, first=False))
        depth = draw(st.integers(1, 6))
        first = True
        for gap, entry in group.body:
            out.append(draw(blanks))
            for note in [_cut(line)[2] for each in gap for line in each.lines]:
                out.append(f"{' ' * draw(st.integers(0, 7))}{note}\n{draw(blanks)}" if note else "")
            deeper = draw(st.integers(1, 4)) if entry.kind == "row" else 0
            out += draw(_statement(entry, depth + deeper, first=first))
            first = first and entry.kind != "detail"
    return "".join(out)


_ends = st.sampled_from(["", " ", "  \t"])


@st.composite
def _statement(draw: st.DrawFn, entry: Entry, depth: int, *, first: bool) -> list[str]:
    out = []
    for at, line in enumerate(entry.lines):
        _, code, comment = _cut(line)
        deeper = draw(st.integers(1, 20)) if at else 0
        spaces = st.just(" ") if first else st.sampled_from([" ", "  ", "     ", "\t", " \t "])
        code = _SPACES.sub(lambda found: found.group(1) or draw(spaces), code)  # noqa: B023
        if comment:
            code += (draw(st.sampled_from([" ", "   ", "\t"])) if code else "") + comment
        out.append(f"{' ' * (depth + deeper)}{code}{draw(_ends)}\n")
    return out


@st.composite
def lines_of_all_kinds(draw: st.DrawFn) -> str:
    """Lines of every kind, whether they belong together or not, at any indentation and with any line end."""
    line = st.tuples(
        st.sampled_from(["", "", " ", "  ", "   ", "    ", "      ", "\t", " \t"]),
        st.sampled_from(_POOL),
        st.sampled_from(["", "", "", " ", "\t", "  # n", " #"]),
        st.sampled_from(["\n"] * 8 + ["\r\n", ""]),
    )
    begin = draw(st.sampled_from(["", 'prescription "x"\n', "\ufeff", "settings\n"]))
    return begin + "".join("".join(each) for each in draw(st.lists(line, max_size=14)))

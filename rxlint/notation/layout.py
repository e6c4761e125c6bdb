"""How the lines of a document stand in its canonical layout: indentation, columns, blank lines, places of comments.

White space is all that is decided here. A line that can't be read, and one with characters that are not what they seem,
is *held*: it stays as it is, for nobody can tell what its white space means.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass, field, replace
from typing import Final, NamedTuple

from rxlint.notation import nodes as n
from rxlint.notation.tree import Document, Entry
from rxlint.text import Line, Source, code_of
from rxlint.vocabulary import Chunk, Term, chunks_of, vocabulary

SENTENCES: Final = frozenset({"raise", "stop", "call", "accept", "extend", "return"})
"""Forms whose term is the first word of a sentence: its value follows after one space, in no column."""

INDENT: Final = 2
"""Of details; rows stand as far inside of their table."""
GAP: Final = 2
"""The least between a term and its value, and between code and its comment, in columns."""
LONGEST_RELATION: Final = 100
"""A relation that would end beyond this column stands close to its term."""
_UNTRUSTED: Final = frozenset(
    {"reader.hidden-character", "reader.look-alike", "reader.odd-space", "reader.line-too-long"}
)
_BLANKS: Final = " \t"


class Laid(NamedTuple):
    """A line of the layout, and which line of the text it is; None for a blank line that is put in."""

    origin: int | None
    text: str
    ending: str


@dataclass(slots=True)
class Group:
    """A section with what stands before its heading. The first has no heading where a text begins with other lines.

    Every entry of ``body`` comes with the blank lines and comments before it.
    """

    lead: list[Entry]
    heading: Entry | None
    body: list[tuple[list[Entry], Entry]] = field(default_factory=list)

    def entries(self) -> Iterator[Entry]:
        """Its statements and unread lines, in their order."""
        if self.heading is not None:
            yield self.heading
        yield from (entry for _, entry in self.body)

    def gaps(self) -> Iterator[list[Entry]]:
        """The blank lines and comments before each of them."""
        yield self.lead
        yield from (gap for gap, _ in self.body)

    def lines(self) -> Iterator[Line]:
        """All its lines."""
        for gap, entry in [(self.lead, self.heading), *self.body]:
            for each in [*gap, entry]:
                yield from each.lines if each is not None else ()


Reads = Callable[[Entry], bool]
"""Whether a detail or a row can be read, by what is known of it elsewhere."""


def groups_of(document: Document, reads: Reads) -> tuple[list[Group], list[Entry]]:
    """The sections of a text, readable or not, and the blank lines and comments at its end."""
    groups: list[Group] = []
    gap: list[Entry] = []
    for entry in _with_rows(document, reads):
        if entry.kind == "blank":
            gap.append(entry)
            continue
        if entry.kind in ("document", "heading"):
            groups.append(Group(gap, entry))
        else:
            if not groups:
                groups.append(Group([], None))
            groups[-1].body.append((gap, entry))
        gap = []
    return groups, gap


def _with_rows(document: Document, reads: Reads) -> list[Entry]:
    """The entries of a text, each table with its rows, and what is known to be unreadable marked as that."""
    rowed = {id(entry.lines): entry for block in document.blocks for entry in block.details if entry.rows}
    found = [rowed.get(id(entry.lines), entry) for entry in document.entries]
    return [
        entry._replace(statement=replace(entry.statement, readable=False))
        if entry.statement is not None and not reads(entry)
        else entry
        for entry in found
    ]


def is_held(entry: Entry) -> bool:
    """Whether a line has to stay as it is, to the byte."""
    names = {event.name for event in entry.events}
    if names & _UNTRUSTED:
        return True
    match entry.kind:
        case "blank":
            return False
        case "document" | "heading":
            return entry.heading is None or "reader.not-understood" in names
        case "unread":
            return True
        case _:
            statement = entry.statement
            if statement is None or statement.body is None or not statement.readable:
                return True
            return isinstance(statement.body, n.TableHead) and not entry.rows


def laid_out(source: Source, groups: Sequence[Group], rest: Sequence[Entry], held: Set[int]) -> list[Laid]:
    """The lines of a text in its canonical layout, by its groups and what stands after them.

    Groups with the numbers of ``held`` stay as they are, to the byte.
    """
    endings = [line.ending for line in source.lines if line.ending]
    end = endings[0] if endings else "\n"
    out: list[Laid] = []
    for index, group in enumerate(groups):
        if index in held:
            out += map(_as_is, group.lines())
            continue
        is_stray = index > 0 and groups[index - 1].heading is None  # lines that are read in no section stand before it
        out += map(_close, group.lead) if is_stray else _lead(group, out, end)
        out += _body(group)
    if groups and len(groups) - 1 in held:
        return [*out, *(_as_is(line) for entry in rest for line in entry.lines)]
    out += _runs(rest, out, end)
    if out and not out[-1].ending and not out[-1].text.endswith("\r"):
        out[-1] = out[-1]._replace(ending=end)
    return out


# ---- blank lines and comments


def _as_is(line: Line) -> Laid:
    return Laid(line.number, line.text, line.ending)


def _lead(group: Group, before: Sequence[Laid], end: str) -> list[Laid]:
    """What stands before a heading, and a blank line: comments right above it at the margin belong to it."""
    if group.heading is None:
        return []
    at = len(group.lead)
    while at and _is_margin_comment(group.lead[at - 1], top=not before):
        at -= 1
    out = _runs(group.lead[:at], before, end)
    if before or out:
        out.append(Laid(None, "", end))
    return out + [_comment(entry, 0) for entry in group.lead[at:]]


def _is_comment(entry: Entry) -> bool:
    return bool(entry.lines[0].text.strip(_BLANKS))


def _is_margin_comment(entry: Entry, *, top: bool) -> bool:
    return _is_comment(entry) and (top or entry.lines[0].text[0] not in _BLANKS)


def _runs(gap: Sequence[Entry], before: Sequence[Laid], end: str) -> list[Laid]:
    """Comments that stand for themselves: runs of them, and one blank line where there were some."""
    out: list[Laid] = []
    was_blank = False
    for entry in gap:
        if not _is_comment(entry):
            was_blank = True
            continue
        if was_blank and (before or out):
            out.append(Laid(None, "", end))
        was_blank = False
        out.append(_comment(entry, 0 if _is_margin_comment(entry, top=not before) else INDENT))
    return out


def _comment(entry: Entry, indent: int) -> Laid:
    (line,) = entry.lines
    if is_held(entry):
        return _as_is(line)
    return Laid(line.number, " " * indent + line.text.strip(_BLANKS), line.ending)


def _body(group: Group) -> list[Laid]:
    column = _column(group)
    out: list[Laid] = []
    last = group.heading
    if last is not None:
        out += _entry_lines(last, 0)
    for gap, entry in group.body:
        if is_held(entry) or (last is not None and is_held(last)):
            out += [_close(each) for each in gap]
        else:
            indent = 2 * INDENT if entry.kind == "row" else INDENT
            out += [_comment(each, indent) for each in gap if _is_comment(each)]
        out += _entry_lines(entry, column)
        last = entry
    return out


def _close(entry: Entry) -> Laid:
    """A blank line or a comment beside a line that is held: only the white space at its end goes."""
    (line,) = entry.lines
    return _as_is(line) if is_held(entry) else Laid(line.number, line.text.rstrip(_BLANKS), line.ending)


# ---- columns


class _Parts(NamedTuple):
    """The first line of a statement: how far it is indented, its term or key, and its value."""

    indent: int
    label: str
    value: str
    label_end: int  # in the layout
    value_start: int  # in the text; 0 where it has no value


def _parts(entry: Entry) -> _Parts:
    first = chunks_of(entry.text.split("\n", 1)[0])
    statement = entry.statement
    indent, cut = INDENT, 0
    if entry.heading is not None:
        indent = 0
    elif statement is not None and isinstance(statement.body, n.Row):
        indent, cut = 2 * INDENT, _key_end(statement.body.key, first)
    elif statement is not None and isinstance(statement.body, n.TableHead):
        cut = len(entry.text)
    elif statement is not None and statement.term is not None:
        cut = statement.phrase[1]
    label = [chunk for chunk in first if chunk.start < cut]
    value = first[len(label) :]
    told = _spaced(label, entry)
    return _Parts(indent, told, _spaced(value, entry), indent + len(told), value[0].start if value else 0)


def _key_end(key: n.RowKey, chunks: Sequence[Chunk]) -> int:
    end = key.amounts[-1].end
    words = [chunk.end for chunk in chunks if chunk.start >= end] if key.kind == "over" else []
    return words[1] if words else end  # behind "and over"


def _spaced(chunks: Sequence[Chunk], entry: Entry) -> str:
    """Chunks with one space where there is white space between them; in a list after commas alone."""
    body = entry.statement.body if entry.statement is not None else None
    is_list = isinstance(body, n.Items | n.Words)
    text = ""
    end = chunks[0].start if chunks else 0
    for chunk in chunks:
        is_comma = is_list and chunk.kind == "punct" and chunk.text == ","
        after_comma = is_list and text.endswith(",")
        text += " " if text and not is_comma and (chunk.start > end or after_comma) else ""
        text += chunk.text
        end = chunk.end
    return text


def _form(entry: Entry) -> str | None:
    """The form of a detail's value; None for rows and for details without a term."""
    term = entry.statement.term if entry.statement is not None else None
    return term.form if term is not None and entry.kind == "detail" else None


def _column(group: Group) -> int:
    """The column in which the values of a section begin, counted from 0.

    A section whose values stand in one column keeps it, if a term of the section could have called for it: so a line
    that is taken out moves no other. Else it is that of the longest term.
    """
    aligned: list[tuple[_Parts, Entry]] = []
    ends: list[int] = []
    heads: list[int] = []
    for entry in group.entries():
        term = entry.statement.term if entry.statement is not None else None
        if entry.kind not in ("detail", "row") or (term is not None and term.form in SENTENCES):
            continue
        if is_held(entry):
            ends += [INDENT + len(term.phrase)] if term is not None and entry.kind == "detail" else []
            continue
        parts = _parts(entry)
        if not parts.value:
            heads.append(parts.label_end)
        elif parts.label:
            ends.append(parts.label_end)
            if _form(entry) != "relation":
                aligned.append((parts, entry))
    narrow = max(ends, default=0) + GAP
    widest = max(heads + [_longest(term) for term in _terms(aligned)], default=0) + GAP
    kept = _kept(aligned)
    return kept if kept is not None and kept <= max(narrow, widest) else narrow


def _terms(aligned: Sequence[tuple[_Parts, Entry]]) -> list[Term]:
    found = (entry.statement.term for _, entry in aligned if entry.statement is not None)
    return [term for term in found if term is not None]


def _longest(term: Term) -> int:
    """Where the longest term of its section ends."""
    return INDENT + max(len(phrase) for phrase in vocabulary().sections[term.section].terms)


def _kept(aligned: Sequence[tuple[_Parts, Entry]]) -> int | None:
    """The column that values stand in already, three in four at least, the others close to terms that are too long."""
    indents = {entry.indent for _, entry in aligned if entry.kind == "detail"}
    if len(indents) > 1 or any("\t" in entry.text for _, entry in aligned):
        return None
    by = INDENT - indents.pop() if indents else 0
    starts = [parts.value_start + by for parts, _ in aligned]
    ((column, count),) = Counter(starts).most_common(1) or [(0, 0)]
    if count < 2 or 4 * count < 3 * len(starts):
        return None
    stand = all(_place(parts, column) == start for (parts, _), start in zip(aligned, starts, strict=True))
    return column if stand else None


def _place(parts: _Parts, column: int) -> int:
    """Where a value begins: in its column, or close to a term that reaches into it."""
    return max(column, parts.label_end + GAP)


# ---- lines


def _entry_lines(entry: Entry, column: int) -> list[Laid]:
    if is_held(entry):
        return [_as_is(line) for line in entry.lines]
    parts = _parts(entry)
    if entry.heading is not None or not parts.label:
        code, place = " " * parts.indent + parts.value, parts.indent + INDENT
    elif not parts.value:  # a table: its comment stands in the column
        code, place = " " * parts.indent + parts.label, _place(parts, column)
        return [_line(entry.lines[0], code, place)]
    else:
        place = _value_place(entry, parts, column)
        code = (" " * parts.indent + parts.label).ljust(place) + parts.value
    out = [_line(entry.lines[0], code)]
    for line, text in zip(entry.lines[1:], entry.text.split("\n")[1:], strict=True):
        more = _spaced(chunks_of(text), entry)
        out.append(_line(line, " " * place + more) if more else _line(line, "", place))
    return out


def _value_place(entry: Entry, parts: _Parts, column: int) -> int:
    form = _form(entry)
    if form in SENTENCES:
        return parts.label_end + 1
    if form == "relation" and column + len(parts.value) > LONGEST_RELATION:
        return parts.label_end + GAP
    return _place(parts, column)


def _line(line: Line, code: str, comment_at: int = 0) -> Laid:
    """A line of the layout with the comment that it has, two spaces behind its code or at a column."""
    comment = line.text[code_of(line.text) :].rstrip(_BLANKS)
    if comment:
        code = code.ljust(max(comment_at, len(code) + GAP if code else 0)) + comment
    return Laid(line.number, code, line.ending)

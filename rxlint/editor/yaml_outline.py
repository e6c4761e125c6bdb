"""Where a place stands in a YAML text that may be half typed: by which keys and items it is reached, and what is typed.

Nothing here fails: a reader of YAML refuses a text while a line of it is being written, and just then somebody asks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final, Literal

from rxlint.editor.shapes import Position

Step = str | int
Path = tuple[Step, ...]
Role = Literal["key", "value", "either", "none"]

_KEY: Final = re.compile(
    r"""(?P<key>"[^"\n]*"|'[^'\n]*'|[^\s'"\[\]{}\#&*!|>%@`,?:][^\n]*?)[ ]?:(?=[ \t\r\n]|$)""", re.VERBOSE
)
_ITEM: Final = re.compile(r"-(?:[ ]+|(?=[\r\n]|$))")
_BLOCK: Final = re.compile(r"[|>][-+0-9]*[ ]*(?:#[^\n]*)?(?=\r?\n|$)")
_COMMENT: Final = re.compile(r"(?:^|(?<=[ \t]))#")
_DEEPEST: Final = 200  # of brackets; deeper ones are not followed


@dataclass(frozen=True, slots=True)
class At:
    """A place. ``path`` leads to the mapping that a key would stand in, or to the value that is typed; ``either`` is a
    place where a value may begin or a mapping's first key. ``typed`` is what stands of it before the place, from
    ``start`` on (an offset of the text); ``quote`` is the quotation mark that it stands in.
    """

    path: Path
    role: Role
    typed: str = ""
    start: int = 0
    quote: str = ""


@dataclass(slots=True)
class _Frame:
    column: int
    is_item: bool
    step: Step
    is_empty: bool = True  # nothing stands behind the colon or the dash


@dataclass(slots=True)
class _Scan:
    text: str
    frames: list[_Frame] = field(default_factory=list)
    keys: dict[Path, list[str]] = field(default_factory=dict)
    at: At | None = None

    def path(self) -> Path:
        return tuple(frame.step for frame in self.frames)

    def run(self) -> None:
        offset = 0
        while offset <= len(self.text):
            offset = self.line(offset)

    def end_of(self, offset: int) -> int:
        found = self.text.find("\n", offset)
        return len(self.text) if found < 0 else found

    def line(self, offset: int) -> int:
        """Read the statement that begins on a line; where the next line begins that is none of it."""
        text, end = self.text, self.end_of(offset)
        begin = offset
        while begin < end and text[begin] in " \t\r\ufeff":
            begin += 1
        if begin == end or text[begin] == "#":
            if end == len(text):
                self.at = self.at_blank(begin - offset, end) if begin == end else At((), "none")
            return end + 1
        column = begin - offset
        while (item := _ITEM.match(text, begin, end)) is not None:
            self.enter_item(column)
            begin = item.end()
            column = begin - offset
        if begin >= end or text[begin] == "#":
            if end == len(text):
                self.at = At(self.path(), "either", "", end) if begin >= end else At((), "none")
            return end + 1
        key = _KEY.match(text, begin, end)
        if key is not None:
            self.enter_key(column, _bare(key["key"].rstrip()))
            begin = key.end()
            while begin < end and text[begin] in " \t":
                begin += 1
            if begin == end or text[begin] == "#":
                if end == len(text):
                    is_open = begin == end and text[-1] in " \t"
                    self.at = At(self.path(), "value" if is_open else "none", "", end)
                return end + 1
        elif not (self.frames and self.frames[-1].is_item and self.frames[-1].is_empty):
            return self.bare(column, begin, end)
        return self.value(begin, end, "value" if key is not None else "either")

    def at_blank(self, column: int, end: int) -> At:
        """A line on which nothing stands yet."""
        self.leave(column)
        if self.frames and self.frames[-1].column == column and not self.frames[-1].is_item:
            return At(self.path()[:-1], "key", "", end)
        top = self.frames[-1] if self.frames else None
        if top is None:
            return At((), "key", "", end)
        if top.column < column and top.is_empty:
            return At(self.path(), "either", "", end)
        return At((), "none")

    def bare(self, column: int, begin: int, end: int) -> int:
        """A line without a colon: a key that is being typed, or a value below its key."""
        self.leave(column)
        top = self.frames[-1] if self.frames else None
        if top is None or (top.column == column and not top.is_item):
            if end == len(self.text):
                self.at = At(self.path()[:-1], "key", self.text[begin:end], begin)
            return end + 1
        return self.value(begin, end, "either")

    # ---- frames

    def leave(self, column: int) -> None:
        while self.frames and self.frames[-1].column > column:
            self.frames.pop()

    def enter_item(self, column: int) -> None:
        self.leave(column)
        top = self.frames[-1] if self.frames else None
        if top is not None and top.is_item and top.column == column:
            assert isinstance(top.step, int)
            self.frames[-1] = _Frame(column, True, top.step + 1)
        else:
            self.frames.append(_Frame(column, True, 0))

    def enter_key(self, column: int, key: str) -> None:
        self.leave(column)
        while self.frames and self.frames[-1].column == column:
            self.frames.pop()
        self.keys.setdefault(self.path(), []).append(key)
        self.frames.append(_Frame(column, False, key))

    # ---- values

    def value(self, begin: int, end: int, role: Role) -> int:
        """A value that begins at an offset; where the next line begins that is none of it."""
        text = self.text
        if self.frames:
            self.frames[-1].is_empty = False
        if _BLOCK.match(text, begin) is not None:
            return self.block(end)
        if text[begin] in "\"'":
            close = _closing(text, begin)
            if close is None:
                self.at = At(self.path(), "value", text[begin + 1 :], begin + 1, text[begin])
                return len(text) + 1
            return self.after(close + 1)
        if text[begin] in "[{":
            return self.flow(begin)
        return self.plain(begin, end, role)

    def after(self, offset: int) -> int:
        """What follows a value that is closed: nothing that means anything."""
        end = self.end_of(offset)
        if end == len(self.text):
            self.at = At((), "none")
        return end + 1

    def plain(self, begin: int, end: int, role: Role) -> int:
        """Text without quotation marks, which goes on below where that is indented more than its key."""
        text = self.text
        last = end
        least = self.frames[-1].column if self.frames else -1
        while True:
            comment = _COMMENT.search(text, max(begin, text.rfind("\n", 0, last) + 1), last)
            if comment is not None:
                if last == len(text):
                    self.at = At((), "none")
                return last + 1
            if last == len(text):
                self.at = At(self.path(), role, text[begin:last], begin)
                return last + 1
            following = self.end_of(last + 1)
            line = text[last + 1 : following]
            indent = len(line) - len(line.lstrip(" "))
            is_structure = _KEY.match(line, indent) is not None or _ITEM.match(line, indent) is not None
            if not line.strip() or indent <= least or is_structure:
                return last + 1
            last, role = following, "value"

    def block(self, end: int) -> int:
        """A text that stands below its sign, line by line."""
        text = self.text
        least = self.frames[-1].column if self.frames else -1
        if end == len(text):
            self.at = At((), "none")
            return end + 1
        begin = offset = end + 1
        while offset <= len(text):
            last = self.end_of(offset)
            line = text[offset:last]
            indent = len(line) - len(line.lstrip(" "))
            if line.strip() and indent <= least:
                return offset
            if last == len(text):
                if indent <= least:  # nothing stands there: the text may be over
                    return offset
                self.at = At(self.path(), "value", text[begin:last], begin)
                return last + 1
            offset = last + 1
        return offset

    def flow(self, begin: int) -> int:
        """Brackets and braces. ``steps`` lead from the value to the place; None stands for a key that is not typed."""
        text, at = self.text, begin
        steps: list[Step | None] = []
        start, is_begun = begin, False  # where what is typed begins, and whether anything of it stands there
        while at < len(text):
            char = text[at]
            if char in "\"'" and not is_begun:
                close = _closing(text, at)
                if close is None:
                    role: Role = "key" if steps[-1] is None else "value"
                    self.at = At(self.reached(steps), role, text[at + 1 :], at + 1, char)
                    return len(text) + 1
                at, is_begun = close, True
            elif char == "#" and text[at - 1] in " \t\n":
                at = self.end_of(at)
                if at == len(text):
                    self.at = At((), "none")
                    return at + 1
                start = start if is_begun else at
            elif self.sign(char, at, start, is_begun, steps):
                if not steps:
                    return self.after(at + 1)
                start, is_begun = at + 1, False
            elif not char.isspace():
                is_begun = True
            at += 1
        blank = len(text) - start - len(text[start:].lstrip())
        role = "key" if steps[-1] is None else "either" if isinstance(steps[-1], int) else "value"
        self.at = At(self.reached(steps), role, text[start + blank :], start + blank)
        return len(text) + 1

    def sign(self, char: str, at: int, start: int, is_begun: bool, steps: list[Step | None]) -> bool:
        """Whether a sign ends what stands before it; then the steps lead to what follows."""
        if char in "[{" and not is_begun and len(steps) < _DEEPEST:
            steps.append(0 if char == "[" else None)
        elif char in "]}":
            steps.pop()
        elif char == ",":
            last = steps[-1]
            steps[-1] = last + 1 if isinstance(last, int) else None
        elif char == ":" and steps[-1] is None and self.text[at + 1 : at + 2] in ("", " ", "\t", "\n", "\r"):
            key = _bare(self.text[start:at].strip())
            self.keys.setdefault(self.reached(steps), []).append(key)
            steps[-1] = key
        else:
            return False
        return True

    def reached(self, steps: list[Step | None]) -> Path:
        return (*self.path(), *(step for step in steps if step is not None))


def at_place(text: str, position: Position) -> At:
    """What is typed at a place; beyond the text, at its end."""
    scan = _Scan(text[: offset_of(text, position)])
    scan.run()
    return scan.at or At((), "none")


def keys_of(text: str) -> dict[Path, list[str]]:
    """The keys of every mapping, as far as a text can be followed."""
    scan = _Scan(text)
    scan.run()
    return scan.keys


def offset_of(text: str, position: Position) -> int:
    """The offset of a place (its columns don't count a byte order mark); beyond a line's end, its end."""
    offset = 0
    for _ in range(max(position.line, 1) - 1):
        found = text.find("\n", offset)
        if found < 0:
            return len(text)
        offset = found + 1
    end = text.find("\n", offset)
    end = len(text) if end < 0 else end
    mark = 1 if not offset and text.startswith("\ufeff") else 0
    return min(offset + mark + max(position.column, 1) - 1, end)


def position_of(text: str, offset: int) -> Position:
    """The place of an offset."""
    before = text[:offset]
    start = before.rfind("\n") + 1
    mark = 1 if not start and text.startswith("\ufeff") and offset else 0
    return Position(before.count("\n") + 1, offset - start - mark + 1)


def _bare(key: str) -> str:
    return key[1:-1] if len(key) > 1 and key[0] == key[-1] and key[0] in "\"'" else key


def _closing(text: str, begin: int) -> int | None:
    """Where the quotation mark stands that closes the one at an offset."""
    quote, at = text[begin], begin + 1
    while at < len(text):
        if text[at] == "\\" and quote == '"':
            at += 2
            continue
        if text[at] == quote:
            if quote == "'" and text[at + 1 : at + 2] == "'":
                at += 2
                continue
            return at
        at += 1
    return None

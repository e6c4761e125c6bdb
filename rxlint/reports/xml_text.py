"""Elements of XML as text that every reader takes, whatever stands in a document."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Final
from xml.etree.ElementTree import Element, indent, tostring

from rxlint.text import printable

HEAD: Final = '<?xml version="1.0" encoding="UTF-8"?>\n'
# Of what XML 1.0 forbids (https://www.w3.org/TR/xml/#charsets), `printable` leaves these two.
_ILLEGAL: Final = re.compile(r"[\ufffe\uffff]")


def element(
    name: str, attributes: Mapping[str, str | int] | None = None, children: Iterable[Element] = (), text: str = ""
) -> Element:
    """An element with its attributes made safe; ``text`` must be made so before (``lines_of``)."""
    made = Element(name, {key: safe(str(value)) for key, value in (attributes or {}).items()})
    made.extend(children)
    made.text = text or None
    return made


def safe(text: str) -> str:
    """Text on one line, without what XML forbids or what changes how it is shown: such characters as code points."""
    return _ILLEGAL.sub(lambda match: f"<U+{ord(match.group()):04X}>", printable(text))


def lines_of(lines: Iterable[str]) -> str:
    """Lines as the text of an element."""
    return "\n".join(map(safe, lines))


def written(element: Element, level: int = 1) -> str:
    """An element in lines of its own, at a depth in the whole. Characters beyond ASCII stand as references, so that no
    encoding can spoil them.
    """
    indent(element, level=level)
    text: bytes = tostring(element, "us-ascii")
    return "  " * level + text.decode("ascii").rstrip() + "\n"

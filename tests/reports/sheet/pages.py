"""Reading a page in tests: its elements, their text, and its parts by id."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

_VOID = frozenset({"meta", "br", "input", "link", "path", "circle", "img"})


@dataclass
class Element:
    """An element with its attributes and what stands in it."""

    name: str
    attributes: dict[str, str]
    children: list[Element | str] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All text in it, in order, white space as it stands."""
        return "".join(each if isinstance(each, str) else each.text for each in self.children)

    @property
    def words(self) -> str:
        """Its text with single spaces."""
        return " ".join(self.text.split())

    def walk(self) -> Iterator[Element]:
        """It and every element under it, in the order of the page."""
        yield self
        for each in self.children:
            if isinstance(each, Element):
                yield from each.walk()

    def all(self, name: str) -> list[Element]:
        """Every element of a name."""
        return [each for each in self.walk() if each.name == name]

    def of_class(self, name: str) -> list[Element]:
        """Every element of a class."""
        return [each for each in self.walk() if name in each.attributes.get("class", "").split()]

    def by_id(self, name: str) -> Element:
        """The one element with an id."""
        (found,) = [each for each in self.walk() if each.attributes.get("id") == name]
        return found


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("", {})
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in _VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open[-1].children.append(Element(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].name == tag, f"</{tag}> ends <{self.open[-1].name}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(data)


def read(page: str) -> Element:
    """The tree of a page. Fails where an element is not ended, or ended twice."""
    reader = _Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == [reader.root], f"<{reader.open[-1].name}> is not ended"
    return reader.root

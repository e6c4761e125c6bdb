"""The TypeScript of the shapes: fresh, and what it is made of."""

import pytest

from rxlint.page.typescript import MADE, SHAPES, typescript


def test_the_typescript_is_that_of_the_shapes() -> None:
    assert MADE.read_text("utf-8") == typescript(SHAPES.read_text("utf-8"))


def test_a_typed_dictionary_becomes_an_interface_with_its_words() -> None:
    source = (
        '"""All of it."""\nfrom typing import Literal\nName = Literal["a", "b c"]\n"""A name."""\n\n'
        'class Thing(TypedDict):\n    """A ``thing``.\n\n    It has parts.\n    """\n\n'
        "    one: NotRequired[str]\n    many: list[Name | None]\n    count: dict[str, int]\n    is_so: bool\n"
    )
    assert typescript(source).split("\n", 2)[2] == (
        "/** All of it. */\n\n"
        '/** A name. */\nexport type Name = "a" | "b c";\n\n'
        "/**\n * A `thing`.\n *\n * It has parts.\n */\n"
        "export interface Thing {\n  one?: string;\n  many: (Name | null)[];\n  count: Record<string, number>;\n"
        "  is_so: boolean;\n}\n"
    )


@pytest.mark.parametrize("source", ["def f() -> None: ...\n", "class A(TypedDict):\n    a: tuple[int, ...]\n"])
def test_what_typescript_is_not_made_of_is_refused_with_its_line(source: str) -> None:
    with pytest.raises(ValueError, match=r"line [12]:"):
        typescript(source)

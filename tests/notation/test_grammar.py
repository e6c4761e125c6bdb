"""The grammar of lines itself."""

import interegular  # noqa: F401 - lark's strict checking of terminals needs it

from rxlint.notation.grammar import STARTS, line_grammar
from rxlint.vocabulary import vocabulary


def test_the_grammar_is_strict_and_free_of_conflicts() -> None:
    # In strict mode lark refuses shift/reduce conflicts, and terminals that it can compare and that collide.
    assert line_grammar(strict=True).parser is not None


def test_every_form_of_the_vocabulary_has_a_start() -> None:
    forms = {term.form for section in vocabulary().sections.values() for term in section.terms.values()}
    read_otherwise = {"relation": "by the expression language"}
    assert {form.replace("pre-oxygenation", "preoxygenation") for form in forms - read_otherwise.keys()} <= set(STARTS)

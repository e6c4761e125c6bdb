"""A rule-checking linter for ventilation prescriptions kept as plain text.

A screening aid, not a medical device: a clean result means only that the listed checks found nothing.

Python programs use ``screen_text``, ``screen_paths``, ``parse``, ``derive``, ``compare``, ``compare_paths`` and
``rule_packs``; what they promise is told in ``rxlint.interface``.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rxlint.interface import (
        Acceptance,
        Change,
        Compared,
        Derived,
        DerivedChange,
        DerivedValue,
        Ends,
        Expected,
        Finding,
        Level,
        OptionError,
        Origin,
        Outcome,
        Pack,
        Parsed,
        Place,
        Problem,
        Quantity,
        Related,
        Row,
        Rule,
        Rules,
        Screened,
        Statement,
        Suggestion,
        compare,
        compare_paths,
        derive,
        parse,
        rule_packs,
        screen_paths,
        screen_text,
    )

__version__ = "0.1.0"

__all__ = [
    "Acceptance",
    "Change",
    "Compared",
    "Derived",
    "DerivedChange",
    "DerivedValue",
    "Ends",
    "Expected",
    "Finding",
    "Level",
    "OptionError",
    "Origin",
    "Outcome",
    "Pack",
    "Parsed",
    "Place",
    "Problem",
    "Quantity",
    "Related",
    "Row",
    "Rule",
    "Rules",
    "Screened",
    "Statement",
    "Suggestion",
    "__version__",
    "compare",
    "compare_paths",
    "derive",
    "parse",
    "rule_packs",
    "screen_paths",
    "screen_text",
]

if not TYPE_CHECKING:  # a checker of types sees the names themselves, and so a misspelt one

    def __getattr__(name: str) -> object:
        """A name of the Python interface, which is loaded when the first of them is asked for."""
        if name in __all__:
            from rxlint import interface

            return getattr(interface, name)
        raise AttributeError(f"module 'rxlint' has no attribute {name!r}")

    def __dir__() -> list[str]:
        """Everything that is there, loaded or not."""
        return sorted({*globals(), *__all__})

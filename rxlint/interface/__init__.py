"""What Python programs may use: functions from texts and paths to plain results. All of it is also found in ``rxlint``.

The names here, the parameters and the attributes of the results are kept from one version to the next; others may be
added. Results rest on what is given and on nothing else: not on the environment, nor on the current folder (but for
relative paths), and on the clock only where no day is given. All may be called from several threads at once.

What a document lacks is part of its result and never an exception: that a result has no findings says something only
where ``problems`` is empty as well.

Of a ``Finding`` these are kept: ``rule``, ``level``, ``outcome``, ``message``, ``place``, ``related``, ``calculation``,
``corrections``, ``example``, ``sound``, ``period``, ``band``, ``policy``, ``also``, ``fingerprint``, ``acceptance``,
``known`` and ``counts``; of its parts, all attributes. Words in messages and calculations may become others.
"""

from rxlint.interface.compared import compare, compare_paths
from rxlint.interface.options import OptionError
from rxlint.interface.read import derive, parse
from rxlint.interface.results import (
    Change,
    Compared,
    Derived,
    DerivedChange,
    DerivedValue,
    Ends,
    Expected,
    Pack,
    Parsed,
    Quantity,
    Rule,
    Screened,
    Statement,
)
from rxlint.interface.rules import Rules, rule_packs
from rxlint.interface.screened import screen_paths, screen_text
from rxlint.notation.tree import Place
from rxlint.packs import Level, Origin
from rxlint.screening.finding import Acceptance, Finding, Outcome, Related, Row, Suggestion
from rxlint.text import Problem

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
    "compare",
    "compare_paths",
    "derive",
    "parse",
    "rule_packs",
    "screen_paths",
    "screen_text",
]

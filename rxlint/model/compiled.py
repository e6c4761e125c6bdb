"""Expressions, read and typed, as they are kept between runs; and the derived terms, which are made of them."""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

from rxlint import __version__
from rxlint.data import data_folder
from rxlint.expressions import BoolType, Function, ListType, NumberType, TextType, WordsType, nodes
from rxlint.model.names import DerivedTerm, WayNode, functions
from rxlint.store.codec import Codec, Named, Unwritable
from rxlint.store.kept import keep, key_of, read_kept, stamps_of
from rxlint.units import PLAIN, UNITS, Dimension, Unit

_NAME: Final = "terms.json"
_READERS: Final = ("text", "units", "vocabulary", "expressions", "physiology", "model", "packs", "store")

EXPRESSIONS: Final[tuple[type, ...]] = (
    nodes.Number, nodes.Name, nodes.Unary, nodes.Binary, nodes.Power, nodes.Extreme, nodes.Call, nodes.Choice,
    nodes.Compare, nodes.Between, nodes.Logic, nodes.Not, nodes.Stated, nodes.Part, nodes.IsWord, nodes.Has,
    nodes.Before, nodes.Tally, NumberType, BoolType, TextType, WordsType, ListType,
)  # fmt: skip
"""The classes that expressions and their types are made of."""


def _dimension(text: str) -> Dimension:
    return Dimension.of({name: int(power) for name, power in (each.split("^") for each in text.split("|") if each)})


def _dimension_parts(dimension: Dimension) -> tuple[str]:
    return ("|".join(f"{name}^{power}" for name, power in dimension.exponents),)


def _unit(symbol: str) -> Unit:
    return UNITS[symbol] if symbol else PLAIN


def _unit_parts(unit: Unit) -> tuple[str]:
    if (unit.symbol and unit.symbol not in UNITS) or _unit(unit.symbol) != unit:
        raise Unwritable(f"{unit.symbol} is no unit of the table")
    return (unit.symbol,)


def _function(name: str) -> Function:
    return functions()[name]


NAMED: Final = (
    Named(Function, lambda function: (function.name,), _function),
    Named(Dimension, _dimension_parts, _dimension),
    Named(Unit, _unit_parts, _unit),
)
"""What expressions hold that is made again from its name."""


@cache
def sources_key() -> str:
    """What everything that is kept depends on: the version, the content of the grammar and of the packs, and the stamps
    of the modules that read them, so that a change of any of them reads all of it again. Raises MissingDataError.
    """
    package = Path(__file__).resolve().parent.parent
    digest = hashlib.sha256()
    for folder, pattern in ((data_folder("grammar"), "*"), (data_folder("rules"), "*.yaml")):
        for path in sorted(folder.glob(pattern)):
            data = path.read_bytes()
            digest.update(f"{path.name}:{len(data)}:".encode() + data)
    return key_of(__version__, digest.hexdigest(), stamps_of(package / each for each in _READERS))


def read_value(name: str, codec: Codec) -> Any:
    """The value kept under a name; None where there is none, or it no longer fits."""
    text = read_kept(name, sources_key())
    if text is None:
        return None
    try:
        return codec.read(json.loads(text))
    except (LookupError, TypeError, ValueError, AttributeError, RecursionError):
        return None


def keep_value(name: str, codec: Codec, value: Any) -> None:
    """Keep a value for the next run; one that can't be written is not kept."""
    with contextlib.suppress(Unwritable, RecursionError):
        keep(name, sources_key(), json.dumps(codec.write(value), ensure_ascii=False, separators=(",", ":")))


@cache
def _codec() -> Codec:
    return Codec((*EXPRESSIONS, WayNode, DerivedTerm), NAMED)


def read_terms() -> Mapping[str, DerivedTerm] | None:
    """The derived terms as they were kept; None where they were not, or no longer fit."""
    found = read_value(_NAME, _codec())
    fits = isinstance(found, dict) and all(isinstance(each, DerivedTerm) for each in found.values())
    return found if fits else None


def keep_terms(terms: Mapping[str, DerivedTerm]) -> None:
    """Keep the derived terms for the next run."""
    keep_value(_NAME, _codec(), terms)

"""The built-in packs, read and typed, as they are kept between runs."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, Final

from rxlint.model.compiled import EXPRESSIONS, NAMED, keep_value, read_value
from rxlint.model.names import NameTable, base_names
from rxlint.packs import pack as shapes
from rxlint.packs import profile
from rxlint.packs.pack import Pack
from rxlint.store.codec import Codec, Named

_NAME: Final = "packs.json"
_SHAPES: Final[tuple[type, ...]] = (
    shapes.Spot, shapes.Origin, shapes.Slot, shapes.Message, shapes.Correction, shapes.Stricter, shapes.Case,
    shapes.Rule, shapes.Defined, shapes.Pack,
    profile.Steps, profile.Choice, profile.Dial, profile.Needed, profile.Profile,
)  # fmt: skip


def _table_parts(table: NameTable) -> tuple[Any, ...]:
    """A pack's own names: all others are those of every pack."""
    return dict(table.own), {key: table.types[key] for key in table.own.values()}


def _table(own: Mapping[str, str], types: Mapping[str, Any]) -> NameTable:
    base = base_names()
    return NameTable({**base.types, **types}, base.calls, own) if own else base


@cache
def _codec() -> Codec:
    return Codec((*EXPRESSIONS, *_SHAPES), (*NAMED, Named(NameTable, _table_parts, _table)))


def read_packs() -> tuple[Pack, ...] | None:
    """The packs as they were kept; None where they were not, or no longer fit."""
    found = read_value(_NAME, _codec())
    return found if isinstance(found, tuple) and all(isinstance(each, Pack) for each in found) else None


def keep_packs(packs: tuple[Pack, ...]) -> None:
    """Keep the packs for the next run."""
    keep_value(_NAME, _codec(), packs)

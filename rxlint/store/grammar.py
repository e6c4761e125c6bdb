"""A grammar's tables as they are kept between runs: making them takes longer than most documents.

lark can keep its own, by pickle and in a shared folder; what is read here can hold plain values only.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable
from typing import Any

import lark
from lark import Lark, Transformer
from lark.grammar import Rule
from lark.lexer import TerminalDef

from rxlint.store.codec import Codec, Named, Unwritable
from rxlint.store.kept import keep, key_of, read_kept

_FAULTS = (LookupError, TypeError, ValueError, AttributeError, RecursionError, AssertionError)


def grammar_of(name: str, text: str, lexer: type, transformer: Transformer[Any, Any] | None, **options: Any) -> Lark:
    """The parser (LALR) of a grammar's text with its lexer; its tables as they were kept under ``name``, or made anew.

    Raises lark's own errors for a grammar that is at fault.
    """
    shown = json.dumps(options, sort_keys=True, default=str)
    key = key_of(lark.__version__, text, lexer.__qualname__, shown)
    codec = _codec(lexer, transformer)
    found = _read(name, key, codec, transformer)
    if found is not None:
        return found
    made = Lark(text, parser="lalr", lexer=lexer, transformer=transformer, **options)
    with contextlib.suppress(Unwritable, *_FAULTS):  # not needed, and lark may change how it tells its tables
        data, memo = made.memo_serialize([TerminalDef, Rule])
        keep(name, key, json.dumps(codec.write((data, memo)), ensure_ascii=False, separators=(",", ":")))
    return made


def _codec(lexer: type, transformer: Transformer[Any, Any] | None) -> Codec:
    named = [Named(type(lexer), lambda _kind: (), lambda: lexer)]
    if transformer is not None:
        named.append(Named(type(transformer), lambda _made: (), lambda: transformer))
    return Codec((), named)


def _read(name: str, key: str, codec: Codec, transformer: Transformer[Any, Any] | None) -> Lark | None:
    text = read_kept(name, key)
    if text is None:
        return None
    try:
        data, memo = codec.read(json.loads(text))
        load: Callable[..., Lark] = Lark._load_from_dict  # public only with pickle around it
        return load(data, memo, transformer=transformer)
    except _FAULTS:
        return None

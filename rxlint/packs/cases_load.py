"""The cases of a pack: lines of facts, whole documents, pairs and libraries, each under what the rule makes of it."""

from __future__ import annotations

from typing import get_args

from rxlint.expressions.problems import near
from rxlint.packs.pack import Case, CaseKind
from rxlint.packs.reading import Reader
from rxlint.packs.yaml_tree import Mapping_, Scalar, Tree


def is_whole(text: str) -> bool:
    """Whether the text of a pair is a whole document, and not a line of facts."""
    return "\n" in text.strip()


def read_cases(reader: Reader, tree: Tree | None) -> tuple[Case, ...]:
    """The cases of a rule, or of a row of a policy; what is wrong with them is noted in ``reader``."""
    found: list[Case] = []
    for each in reader.sequence(tree, None):
        if not isinstance(each, Mapping_) or len(each.items) != 1:
            reader.fault(each.spot, "a case is one of fires, holds, silent with its facts")
            continue
        kind, body = each.items[0]
        kinds = get_args(CaseKind)
        if kind.text not in kinds:
            reader.fault(kind.spot, f"a case is one of {', '.join(kinds)}, not {kind.text}", near(kind.text, kinds))
            continue
        case = _case(reader, kind.text, body)  # type: ignore[arg-type]
        found += [case] if case is not None else []
    return tuple(found)


def _case(reader: Reader, kind: CaseKind, body: Tree) -> Case | None:
    """A case's facts: a line, a whole document, a pair, or a library's documents, of which the first is judged."""
    if isinstance(body, Mapping_):
        reader.unknown_keys(body, ("text", "library", "pair"), "a case")
        if len(body.items) > 1:
            reader.fault(body.spot, "a case has one of text, library and pair")
    pair = body.get("pair") if isinstance(body, Mapping_) else None
    if pair is not None:
        return _pair(reader, kind, pair)
    if isinstance(body, Mapping_) and body.get("library") is not None:
        texts = _library(reader, body)
        return Case(kind, texts[0][1], True, body.spot, texts) if texts else None
    scalar = body.get("text") if isinstance(body, Mapping_) else body
    if not isinstance(scalar, Scalar) or not scalar.text.strip():
        told = "a case is a line of facts, or text: with a whole document; or library:, or pair:, with several"
        reader.fault(body.spot, told)
        return None
    return Case(kind, scalar.text, isinstance(body, Mapping_), body.spot)


def _pair(reader: Reader, kind: CaseKind, pair: Tree) -> Case | None:
    """A document before and after a change; one of several lines is a whole document."""
    texts = [pair.get(key) for key in ("old", "new")] if isinstance(pair, Mapping_) else []
    old, new = (each.text if isinstance(each, Scalar) else "" for each in texts or (None, None))
    if not old.strip() or not new.strip() or not isinstance(pair, Mapping_):
        reader.fault(pair.spot, "a pair has old and new, each a line of facts or a whole document")
        return None
    reader.unknown_keys(pair, ("old", "new"), "a pair")
    return Case(kind, new, is_whole(new), pair.spot, before=old)


def _library(reader: Reader, body: Mapping_) -> tuple[tuple[str, str], ...]:
    """Names and texts of the documents of a case's library."""
    given = body.get("library")
    items = given.items if isinstance(given, Mapping_) else ()
    texts = [(name.text, text.text) for name, text in items if isinstance(text, Scalar) and text.text.strip()]
    if len(texts) < len(items) or not texts:
        reader.fault(body.spot, "library is a mapping from names to the texts of documents, the one to judge first")
        return ()
    return tuple(texts)

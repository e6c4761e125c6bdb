"""What a place of a file of rules may name: rules, packs, terms, files, and the words that its schema lists."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rxlint.editor.completion_offers import Offer
from rxlint.editor.hover_words import term_detail
from rxlint.editor.shapes import CompletionKind
from rxlint.editor.yaml_expressions import name_detail
from rxlint.editor.yaml_files import YamlFile
from rxlint.editor.yaml_outline import Path
from rxlint.editor.yaml_roles import Role, beside, key_of, own_ids, uses_of
from rxlint.editor.yaml_schema import Shape
from rxlint.packs.found_by import EVENTS
from rxlint.packs.pack import BASES
from rxlint.reports.rule_markdown import rule_markdown
from rxlint.text import printable
from rxlint.vocabulary import vocabulary

_OWN: Final = 100  # rank of what is named by itself, after areas
_LATER: Final = 500  # and of what the file does not say it uses


def offers(file: YamlFile, path: Path, role: Role, found: tuple[Shape, ...]) -> Iterator[Offer]:
    """What may stand at the end of a path, the likeliest first."""
    match role:
        case "rule" | "rule or area":
            yield from _rules(file, path, role)
        case "pack":
            for rank, pack in enumerate(file.packs):
                yield Offer(pack.name, "name", " ".join(pack.summary.split()), rank=rank)
        case "defined":
            yield from _defined(file, beside(file, path, "of"))
        case "file":
            for rank, name in enumerate(file.beside):
                yield Offer(name, "document", rank=rank)
        case "name":
            if any(shape.name == "place" for shape in found):
                yield from _own_terms(file)
            yield from _listed(file, role, found)
        case "word":
            yield from _listed(file, role, found)
        case "text" if key_of(path) == "id" and file.kind == "pack" and beside(file, ("pack",), "pack"):
            told = "the pack's name, a point, and a name of its own"
            yield Offer(f"{beside(file, ('pack',), 'pack')}.", "rule", told)


def _defined(file: YamlFile, of: str) -> Iterator[Offer]:
    """The terms that a pack defines; without one, those of all packs."""
    for pack in file.packs:
        if of in ("", pack.name):
            for name, key in pack.names.own.items():
                yield Offer(name, "term", name_detail(key, pack.names, pack.defined))


def _own_terms(file: YamlFile) -> Iterator[Offer]:
    for rank, (name, key) in enumerate(file.names.own.items()):
        yield Offer(name, "term", name_detail(key, file.names, file.defined), rank=rank)


def _listed(file: YamlFile, role: Role, found: tuple[Shape, ...]) -> Iterator[Offer]:
    """The words that the schema lists."""
    for shape in found:
        for rank, word in enumerate(shape.words):
            if shape.name != "basis" or file.kind == "policy" or word in BASES:
                yield Offer(word, _kind_of(role, shape), _detail(file, word, role, shape), rank=rank)


def _kind_of(role: Role, shape: Shape) -> CompletionKind:
    return "term" if role == "name" else "unit" if shape.name == "unit" else "word"


def _detail(file: YamlFile, word: str, role: Role, shape: Shape) -> str:
    if shape.name == "event":
        fields = EVENTS.get(word, ())
        return f"tells {', '.join(fields)}" if fields else "tells nothing more"
    if role == "name" and word in file.names.types:
        return name_detail(word, file.names, file.defined)
    if word in vocabulary().terms:
        return term_detail(vocabulary().terms[word])
    return next((told for each in shape.told.split(";") if (told := _said_of(word, each))), "")


def _said_of(word: str, told: str) -> str:
    """What is said of one word where each word has its part of what is said."""
    name, colon, text = told.strip().partition(": ")
    return text if colon and name == word else ""


def _rules(file: YamlFile, path: Path, role: Role) -> Iterator[Offer]:
    """Rules that a file may name: its own where it may, and those of the packs that it uses."""
    used = uses_of(file)
    is_adjusted = path[:1] == ("adjust",)
    own = [] if is_adjusted else list(dict.fromkeys(own_ids(file)))
    this = beside(file, path, "id")
    rules = [rule for rule in file.rules.values() if rule.pack in used or (file.kind == "pack" and role == "rule")]
    areas = dict.fromkeys(each.partition(".")[0] for each in (*own, *(rule.id for rule in rules)))
    if role == "rule or area":
        for rank, area in enumerate(areas):
            yield Offer(area, "section", f"all rules of {area}", rank=rank)
    for rank, name in enumerate(own):
        if name != this:
            known = file.rules.get(name)
            yield Offer(name, "rule", known.title if known is not None else "of this file", rank=_OWN + rank)
    for rank, rule in enumerate(rules):
        if rule.id not in own:
            order = (_OWN if rule.pack in used else _LATER) + rank
            yield Offer(rule.id, "rule", printable(rule.title), rule_markdown(rule), order)

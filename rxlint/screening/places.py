"""Where a finding stands: from the terms that a rule names to the lines that state them."""

from __future__ import annotations

from collections.abc import Sequence

from rxlint.expressions import Node, nodes, walk
from rxlint.model.facts import Facts, home_key
from rxlint.model.stated import EARLIER
from rxlint.notation.tree import Document, Entry, Place
from rxlint.packs import Rule
from rxlint.screening.finding import Related
from rxlint.vocabulary import vocabulary


def places_of(rule: Rule, facts: Facts, document: Document) -> tuple[Place, tuple[Related, ...], Entry]:
    """Where a finding stands and what it relates to: what the rule names first, then what it reads."""
    required = _keys_in_order(rule.require) if rule.require is not None else []
    wanted = [*rule.at, *required, *(_keys_in_order(rule.when) if rule.when is not None else [])]
    entries: dict[int, tuple[Entry, str]] = {}
    section: Entry | None = None
    for position, key in enumerate(wanted):
        if key.startswith("section "):
            block = next((each for each in facts.scope.blocks if each.section == key.removeprefix("section ")), None)
            section = block.entry if block is not None and section is None else section
            continue
        keep_when = position < len(rule.at) + len(required) or not entries
        if keep_when:
            _add_entries(key, facts, entries)
    found = list(entries.values())
    if not found:
        entry = (
            section or _nearest_block(wanted, facts) or next(each for each in document.entries if each.kind != "blank")
        )
        return entry.whole(), (), entry
    first = found[0][0]
    return first.whole(), tuple(Related(entry.whole(), f"{key} is stated here") for entry, key in found[1:]), first


def _add_entries(key: str, facts: Facts, entries: dict[int, tuple[Entry, str]]) -> None:
    for each in facts.scope.several.get(vocabulary().terms[key].form, ()) if key in vocabulary().terms else ():
        if each.key == key:  # a term that may stand several times: any of its lines
            entries.setdefault(id(each.entry), (each.entry, key))
    leaves = [key] if facts.stated(key) is not None else []
    formula = facts.formulas.get(key)
    if formula is not None:
        leaves += [each for each in _keys_in_order(formula) if each != key]
    for leaf in leaves:
        stated = facts.stated(leaf)
        if stated is not None:
            entries.setdefault(id(stated.entry), (stated.entry, leaf if leaf.startswith(EARLIER) else stated.key))
        elif leaf != key:
            _add_entries(leaf, facts, entries)


def _keys_in_order(node: Node) -> list[str]:
    return list(dict.fromkeys(each.key for each in walk(node) if isinstance(each, nodes.Name)))


def _nearest_block(keys: Sequence[str], facts: Facts) -> Entry | None:
    """The heading of the section where the first missing term would stand."""
    for key in keys:
        term = vocabulary().terms.get(home_key(key))
        section = term.section if term is not None else key
        block = next((each for each in facts.scope.blocks if each.section == section), None)
        if block is not None:
            return block.entry
    return None

"""A case's line of facts as a document: each detail is put under the section its term belongs to."""

from __future__ import annotations

from rxlint.vocabulary import chunks_of, vocabulary

_UNQUALIFIED = ("settings", "airway", "circuit")
_EARLIER = "earlier reading"  # of a set of readings that was taken before the other
_FIRST, _SECOND = "2026-11-24 08:00", "2026-11-24 10:00"


def document_of(facts: str) -> str:
    """The text of a document that states these facts, separated by `;`; one may be qualified by its section."""
    kind = "prescription"
    sections: dict[str, list[str]] = {}
    for detail in (each.strip() for each in details_of(facts)):
        if detail in ("template", "prescription"):
            kind = detail
        elif detail:
            section, text = _placed(detail)
            sections.setdefault(section, []).append(text)
    lines = [f'{kind} "case"', *[f"  {text}" for text in sections.pop("head", [])]]
    if _EARLIER in sections:
        lines += [f"readings at {_FIRST}", *[f"  {text}" for text in sections.pop(_EARLIER)], f"readings at {_SECOND}"]
        lines += [f"  {text}" for text in sections.pop("readings", [])]
    for section, details in sections.items():
        lines += [section, *[f"  {text}" for text in details]]
    return "\n".join(lines) + "\n"


def details_of(facts: str) -> list[str]:
    """The details of a line of facts, as they are separated: not within quotation marks."""
    parts: list[str] = []
    current = ""
    quoted = False
    for char in facts:
        if char == '"':
            quoted = not quoted
        if char == ";" and not quoted:
            parts.append(current)
            current = ""
        else:
            current += char
    return [*parts, current]


def _placed(detail: str) -> tuple[str, str]:
    words = vocabulary()
    chunks = chunks_of(detail)
    if detail.startswith(_EARLIER + " "):
        return _EARLIER, detail.removeprefix(_EARLIER).strip()
    for name in _UNQUALIFIED:
        found = words.sections[name].trie.longest(chunks, 0)
        if found is not None:
            return name, detail
    for name, section in words.sections.items():
        if section.bare == "list" and detail.startswith(name + " "):
            return name, detail.removeprefix(name).strip()
        qualifier = section.qualifier
        if qualifier and detail.startswith(qualifier + " "):
            return name, detail.removeprefix(qualifier).strip()
    return "settings", detail

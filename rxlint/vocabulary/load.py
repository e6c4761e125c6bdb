"""Reads vocabulary.yaml into typed terms. The file is the project's own, so a fault in it is an error of the build."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any

from rxlint.data import read_data
from rxlint.store.data import read_yaml
from rxlint.units import ALIASES, DISCOURAGED, UNITS, Unit, find_unit, to_base
from rxlint.vocabulary.phrases import PhraseTrie
from rxlint.vocabulary.terms import Code, ItemSet, Mode, PerKilogram, Section, Slot, Term, Vocabulary

_AGE_UNITS = ("years", "months", "weeks", "days")


@cache
def vocabulary() -> Vocabulary:
    """The vocabulary of this version of the notation."""
    return build_vocabulary(read_yaml("vocabulary.json", read_data("grammar", "vocabulary.yaml")))


def build_vocabulary(data: Mapping[str, Any]) -> Vocabulary:
    """Make the typed vocabulary from the loaded file. Raises KeyError or ValueError where an entry is at fault."""
    items = {name: _item_set(name, entry) for name, entry in data["items"].items()}
    sections = {name: _section(name, entry, data) for name, entry in data["sections"].items()}
    modes = _modes(data)
    terms = {term.key: term for section in sections.values() for term in section.terms.values()}
    return Vocabulary(
        version=data["notation"],
        sections=sections,
        modes=modes,
        mode_patterns=tuple(data["mode patterns"]),
        mode_types=tuple(data["mode types"]),
        items=items,
        bases=tuple(dict.fromkeys(data["bases"].values())),
        periods_by_use=tuple(data["periods by use"]),
        tries=_tries(data, sections, modes),
        terms=terms,
    )


def _tries(
    data: Mapping[str, Any], sections: Mapping[str, Section], modes: Mapping[str, Mode]
) -> dict[str, PhraseTrie]:
    # a spelling with a zero for the letter O is a look-alike, not a unit that somebody prefers
    discouraged = {spelling: spelling for spelling in DISCOURAGED if "0" not in spelling}
    units = {symbol: symbol for symbol in UNITS} | dict(ALIASES) | discouraged
    readings = sections["readings"]
    named = [name for name in sections if name not in ("head", "back-up", "readings")]
    return {
        "SECTION": PhraseTrie(named),
        "UNIT": PhraseTrie(units, exact=True),
        "BASIS": PhraseTrie(data["bases"]),
        "MODE": PhraseTrie({code: code for code in modes} | dict(data["mode spellings"])),
        "READING": readings.trie,
        "COUNTRY": PhraseTrie(data["countries"]),
        "any term": PhraseTrie({phrase: phrase for section in sections.values() for phrase in section.trie.phrases}),
    }


def _section(name: str, entry: Mapping[str, Any], data: Mapping[str, Any]) -> Section:
    qualifier = entry["qualifier"]
    source = (
        data["terms"]["settings" if name == "back-up" else name] if (name == "back-up" or name in data["terms"]) else {}
    )
    terms: dict[str, Term] = {}
    spellings: dict[str, str] = {}
    for phrase, fields in source.items():
        term = _term(phrase, name, qualifier, fields, data["plausible per kilogram"], data["code systems"])
        terms[phrase] = term
        spellings |= dict.fromkeys((phrase, *term.also), phrase)
    return Section(
        name, entry["help"], qualifier, entry.get("bare"), entry.get("periods", False), terms, PhraseTrie(spellings)
    )


def _unit(symbol: str) -> Unit:
    unit = find_unit(symbol)
    if unit is None:
        raise ValueError(f"the vocabulary names a unit that the unit table lacks: {symbol}")
    return unit


def _per_kilogram(fields: Mapping[str, Any], data: Mapping[str, Any]) -> PerKilogram | None:
    if fields.get("per") != "kg":
        return None
    entry = data[fields["unit"]]
    unit = _unit(entry["unit"])
    low, high = (to_base(Fraction(str(bound)), unit) for bound in entry["range"])
    return PerKilogram(unit, (low, high))


def _term(
    phrase: str,
    section: str,
    qualifier: str,
    fields: Mapping[str, Any],
    weighed: Mapping[str, Any],
    systems: Mapping[str, str],
) -> Term:
    symbols = ([fields["unit"]] if "unit" in fields else []) + fields.get("units", [])
    units = tuple(_unit(symbol) for symbol in symbols)
    plausible = fields.get("plausible")
    bounds = tuple(Fraction(str(bound)) for bound in plausible) if plausible else None
    if bounds and units:
        bounds = tuple(to_base(bound, units[0]) for bound in bounds)
    return Term(
        key=f"{qualifier} {phrase}".strip(),
        phrase=phrase,
        section=section,
        kind=fields["kind"],
        form=fields["form"],
        help=fields.get("help", ""),
        also=tuple(fields.get("also", ())),
        units=units,
        per_kilogram=_per_kilogram(fields, weighed),
        basis=fields.get("basis"),
        decimals=fields.get("decimals"),
        plausible=(bounds[0], bounds[1]) if bounds else None,
        reference=fields.get("reference"),
        slots=tuple(Slot(slot["name"], tuple(slot["words"])) for slot in fields.get("slots", ())),
        many=fields.get("many", False),
        manner=tuple(fields.get("manner", ())),
        places=tuple(fields.get("place", ())),
        items=fields.get("items"),
        at=_unit(fields["at"]) if "at" in fields else None,
        codes=tuple(_code(entry, systems) for entry in fields.get("codes", ())),
    )


def _code(entry: Mapping[str, Any], systems: Mapping[str, str]) -> Code:
    return Code(entry["system"], systems[entry["system"]], entry["code"], entry.get("display"))


def _item_set(name: str, entry: Mapping[str, Any]) -> ItemSet:
    members = tuple(entry["members"])
    groups = {group: frozenset(each) for group, each in entry["groups"].items()}
    strangers = frozenset().union(*groups.values()) - set(members) if groups else frozenset()
    if strangers:
        raise ValueError(f"groups of {name} name items that are not members: {sorted(strangers)}")
    trie = PhraseTrie({member: member for member in members} | dict(entry["also"]))
    return ItemSet(name, members, tuple(_unit(symbol) for symbol in entry["amounts"]), groups, trie)


def _modes(data: Mapping[str, Any]) -> dict[str, Mode]:
    modes: dict[str, Mode] = {}
    for row in data["modes"]:
        needs = tuple(tuple(choice) for choice in row["needs"])
        for code in row["codes"]:
            main, _, support = code.partition(" with ")
            pattern, _, kind = main.rpartition("-") if "-" in main else (main, "", "")
            help_text = ", ".join(
                part
                for part in (
                    data["mode patterns"][pattern],
                    data["mode types"].get(kind),
                    data["mode types"].get(support),
                )
                if part
            )
            modes[code] = Mode(
                code, pattern, kind or None, support or None, needs, frozenset(row["may"]), True, help_text
            )
    for code, help_text in data["modes not checked"].items():
        modes[code] = Mode(code, code, checked=False, help=help_text)
    return modes

"""Where inputs begin: the examples, the packs and the cases of the tests, and a dictionary made of the vocabulary."""

from __future__ import annotations

import json
import re
import tempfile
from functools import cache
from pathlib import Path
from typing import Any, Final

from rxlint.units import ALIASES, DISCOURAGED, UNITS
from rxlint.vocabulary import vocabulary

HOME: Final = Path(__file__).resolve().parents[2]
LINES_BEFORE: Final = tuple(
    b'prescription "x"\n' if name == "head" else b'prescription "x"\n%s\n' % name.encode()
    for name in vocabulary().sections
)
"""What stands before a single line, by its first byte: the head of a document and the heading of each section."""
ROOT: Final = Path(tempfile.gettempdir()) / "rxlint-fuzz-editor"
"""The folder in which an editor's documents stand: it is empty."""
_RULE: Final = re.compile(r"(?m)^(?=  - id: )")
_KEYWORD: Final = re.compile(r'"([^"\\]+)"')
_EVERY: Final = 6  # one example in so many is a seed: they repeat themselves


@cache
def orders() -> tuple[bytes, ...]:
    """Some of the examples and all small cases of the tests, the shortest first."""
    examples = sorted((HOME / "examples").rglob("*.vrx"))[::_EVERY]
    cases = [path for path in sorted((HOME / "tests" / "cases").rglob("*.vrx")) if path.stat().st_size < 1500]
    return tuple(sorted({path.read_bytes() for path in (*examples, *cases)}, key=lambda data: (len(data), data)))


@cache
def documents() -> tuple[bytes, ...]:
    return orders()


@cache
def lines() -> tuple[bytes, ...]:
    """Every line of the orders once, with the byte that chooses its section."""
    sections = list(vocabulary().sections)
    found: dict[bytes, None] = {}
    for data in orders():
        section = len(LINES_BEFORE)
        for line in data.decode("utf-8", "replace").splitlines():
            words = line.split()
            if line[:1] not in (" ", "\t") and words:
                found[bytes([len(LINES_BEFORE)]) + line.encode()] = None
                named = [at for at, name in enumerate(sections) if line.startswith(name)]
                section = named[-1] if named else 0
            elif words:
                found[bytes([section % (len(LINES_BEFORE) + 1)]) + line.strip().encode()] = None
    return tuple(found)


@cache
def expressions() -> tuple[bytes, ...]:
    """What the rules of the built-in packs ask, and the relations of the orders."""
    from rxlint.packs.builtin import builtin_packs

    rules = [rule for pack in builtin_packs() for rule in pack.rules]
    texts = {text for rule in rules for text in (rule.when_text, rule.require_text) if text}
    kept = {
        line.split("keep ", 1)[1]
        for data in orders()
        for line in data.decode("utf-8", "replace").splitlines()
        if "keep " in line
    }
    return tuple(sorted(" ".join(text.split()).encode() for text in texts | kept))


@cache
def streams() -> tuple[bytes, ...]:
    texts = [data.decode("utf-8", "replace")[:300] for data in orders()[:40]]
    made = [json.dumps({"id": f"TM-{at}", "text": text}).encode() for at, text in enumerate(texts)]
    return (*(line + b"\n" for line in made), b"\n".join(made[:3]), b"\n", b"[]\n{}\n", b'{"id": 1}')


@cache
def packs() -> tuple[bytes, ...]:
    """Each rule of the built-in packs as a pack of its own, what the packs define, and the policies of the examples."""
    found: list[bytes] = []
    for path in sorted((HOME / "rules").glob("*.yaml")):
        head, *rules = _RULE.split(path.read_text("utf-8"))
        found.append(head.encode() + rules[0].encode() if rules else head.encode())
        found += [f"pack: trial\nrevision: 1\nsummary: x\nrules:\n{rule}".encode() for rule in rules[1:]]
    policies = [*sorted((HOME / "examples" / "policies").glob("*.yaml")), HOME / "examples" / "tarnmoor-policy.yaml"]
    return tuple(found) + tuple(path.read_bytes() for path in policies)


@cache
def profiles() -> tuple[bytes, ...]:
    """The profiles of the examples, whole and with a part of their entries."""
    found: list[bytes] = []
    for path in sorted((HOME / "examples" / "profiles").glob("*.yaml")):
        text = path.read_text("utf-8")
        found.append(text.encode())
        head, *entries = re.split(r"(?m)^(?=  - )", text)
        found += [(head + "".join(entries[at : at + 2])).encode() for at in range(0, len(entries), 2)]
    return tuple(found)


@cache
def settings() -> tuple[bytes, ...]:
    own = [
        b"policies: [policies/network.yaml, policies/ward.yaml]\nlibrary: .\n",
        b"profiles:\n  - profiles\nknown findings: known.txt\nabove: no\n",
        b"packs: []\nabove: yes\n",
        b"python rules:\n  - tarnmoor\n",
    ]
    return (*own, *(path.read_bytes() for path in sorted((HOME / "examples").rglob("rxlint.yaml"))))


@cache
def headers() -> tuple[bytes, ...]:
    """Each column of the example's table, and each term with a unit."""
    table = (HOME / "examples" / "audit-export.csv").read_text("utf-8").splitlines()[0].split(",")
    terms = [
        f"{term.key} [{term.units[0].symbol}]" if term.units else term.key
        for section in vocabulary().sections.values()
        for term in section.terms.values()
    ]
    return tuple(each.encode() for each in dict.fromkeys((*table, *terms, "# note", "title", "readings at")))


@cache
def tables() -> tuple[bytes, ...]:
    head, *rows = (HOME / "examples" / "audit-export.csv").read_bytes().splitlines(keepends=True)
    cells = [b"id,PEEP [cmH2O],mode\nTM-1,5,A/C-PC\n", b"id;PEEP [cmH2O]\nTM-1;5,5\n", b"# x\tid\n\xc2\xa0\tTM-2\n"]
    assembly = [b'id,circuit assembly\n"TM ""1""","ventilator; filter; tubing 160 cm"\n']
    return (*(head + row for row in rows[:8]), *cells, *assembly)


@cache
def jsons() -> tuple[bytes, ...]:
    """The orders as they are exported, the short ones; and what isn't JSON."""
    from rxlint.exchange.documents import Exported, export_document
    from rxlint.library.screen import parse_bytes
    from rxlint.text import Problem

    found = [each for each in map(parse_bytes, orders()[:60]) if not isinstance(each, Problem)]
    made = [each.text.encode() for each in map(export_document, found) if isinstance(each, Exported)]
    return (
        *made,
        b"{}",
        b'{"schema": "rxlint-document-1", "kind": null, "sections": []}',
        b'{"a": 1.5}',
        b'{"a": 1, "a": 2}',
    )


# ---- the language server


def framed(message: object) -> bytes:
    """A message as it goes over the wire."""
    body = message if isinstance(message, bytes) else json.dumps(message).encode("utf-8")
    return b"Content-Length: %d\r\n\r\n%s" % (len(body), body)


def _request(method: str, **params: Any) -> dict[str, Any]:
    return {"jsonrpc": "2.0", "id": 1, "method": method, "params": params}


def _told(method: str, **params: Any) -> dict[str, Any]:
    return {"jsonrpc": "2.0", "method": method, "params": params}


@cache
def _sessions() -> tuple[tuple[dict[str, Any], ...], ...]:
    """What an editor says: it begins, opens a document, asks everything about it, changes and closes it."""
    uri, rules = (ROOT / "a.vrx").as_uri(), (ROOT / "rxlint.yaml").as_uri()
    text = 'prescription "x"\n  id  TM-1\nsettings\n  mode  A/C-PC\n  PEEP  5 cmH2O\n  rate  20 /min\n'
    named, place = {"uri": uri}, {"line": 4, "character": 4}
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 9, "character": 0}}
    begin = _request("initialize", processId=None, rootUri=None, capabilities={})
    opened = _told(
        "textDocument/didOpen", textDocument={"uri": uri, "languageId": "rxlint", "version": 1, "text": text}
    )
    settings = {"uri": rules, "languageId": "yaml", "version": 1, "text": "packs: []\n"}
    yaml = _told("textDocument/didOpen", textDocument=settings)
    laid = {"tabSize": 2, "insertSpaces": True}
    at = ("hover", "completion", "definition", "documentHighlight", "prepareRename", "signatureHelp")
    of = ("documentSymbol", "foldingRange", "semanticTokens/full", "codeLens", "diagnostic", "documentLink")
    asked = [_request(f"textDocument/{name}", textDocument=named, position=place) for name in at]
    asked += [_request(f"textDocument/{name}", textDocument=named) for name in of]
    asked += [
        _request("textDocument/references", textDocument=named, position=place, context={"includeDeclaration": True}),
        _request("textDocument/rename", textDocument=named, position=place, newName="x"),
        _request("textDocument/codeAction", textDocument=named, range=whole, context={"diagnostics": []}),
        _request("textDocument/inlayHint", textDocument=named, range=whole),
        _request("textDocument/formatting", textDocument=named, options=laid),
        _request("textDocument/rangeFormatting", textDocument=named, range=whole, options=laid),
        _request("workspace/diagnostic", previousResultIds=[]),
    ]
    more = [
        _told("textDocument/didChange", textDocument={"uri": uri, "version": 2}, contentChanges=[{"text": text[:60]}]),
        _told("textDocument/didSave", textDocument=named),
        _told("workspace/didChangeWatchedFiles", changes=[{"uri": uri, "type": 2}]),
        _told("textDocument/didClose", textDocument=named),
    ]
    end = ({"jsonrpc": "2.0", "id": 2, "method": "shutdown", "params": None}, {"jsonrpc": "2.0", "method": "exit"})
    single = [(begin, opened, each) for each in (*asked, *more)]
    return (
        (begin, *end),
        (begin, yaml, _request("textDocument/hover", textDocument={"uri": rules}, position=place)),
        *single,
    )


@cache
def messages() -> tuple[bytes, ...]:
    return tuple(b"\n".join(json.dumps(each).encode() for each in session) for session in _sessions())


@cache
def wires() -> tuple[bytes, ...]:
    alone = [framed(each) for session in _sessions() for each in session[-1:]]
    whole = [b"".join(map(framed, session)) for session in _sessions()[:3]]
    odd = [
        b"Content-Length: 2\r\n\r\n{}",
        b"Content-Length: 0\r\n\r\n",
        b"Content-Type: x\r\nContent-Length: 4\r\n\r\nnull",
    ]
    return (*alone, *whole, *odd)


# ---- words


@cache
def words() -> tuple[bytes, ...]:
    """A dictionary: every term, word, item, mode and unit of the vocabulary, and the keywords of both grammars."""
    from rxlint.model.names import base_names

    known = vocabulary()
    found: set[str] = {*UNITS, *ALIASES, *DISCOURAGED, *known.modes, *known.bases, *base_names().functions()}
    for name, section in known.sections.items():
        found |= {name, *section.trie.phrases}
        for term in section.terms.values():
            found |= {*term.manner, *term.places, *(word for slot in term.slots for word in slot.words)}
    found |= {member for items in known.items.values() for member in items.members}
    for grammar in ("prescription", "expression"):
        text = (HOME / "grammar" / f"{grammar}.lark").read_text("utf-8")
        rules = "\n".join(line.split("//")[0] for line in text.splitlines())
        found |= set(_KEYWORD.findall(rules))
    return tuple(sorted(each.encode() for each in found if each))

"""All targets, by name."""

from __future__ import annotations

from typing import Final

from tests.fuzz import corpora
from tests.fuzz.target import Target

TARGETS: Final = {
    each.name: each
    for each in (
        Target("document", "on_texts", 5, 200, 4096, corpora.documents),
        Target("line", "on_texts", 2, 100, 300, corpora.lines),
        Target("expression", "on_expressions", 2, 100, 300, corpora.expressions),
        Target("stream", "on_streams", 1, 100, 2048, corpora.streams),
        Target("pack", "on_files", 5, 200, 3000, corpora.packs),
        Target("profile", "on_files", 5, 200, 3000, corpora.profiles),
        Target("settings", "on_files", 5, 200, 600, corpora.settings),
        Target("header", "on_files", 1, 100, 100, corpora.headers),
        Target("table", "on_files", 5, 200, 1500, corpora.tables),
        Target("exchange", "on_files", 5, 200, 3000, corpora.jsons),
        Target("wire", "on_wire", 5, 200, 3000, corpora.wires),
        Target("messages", "on_wire", 10, 300, 3000, corpora.messages),
    )
}

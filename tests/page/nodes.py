"""The program of a made folder in Node.js."""

from pathlib import Path

import rxlint.page

WEB = Path(rxlint.page.__file__).parent / "web"
NODE = WEB / "node.mjs"


def lay_out_sockets(page: Path) -> None:
    """Put an empty package ``ws`` where Pyodide finds it, which imports it in Node.js alone: nothing opens a socket."""
    place = page.parent / "node_modules" / "ws"
    place.mkdir(parents=True, exist_ok=True)
    (place / "index.js").write_text("module.exports = {};\n", "utf-8")

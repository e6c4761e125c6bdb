"""Makes the folder of the page: fetch, bundle, pack, run it once, list it."""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from rxlint.page.folder import check_place, listed, put, version_of, write_list
from rxlint.page.licences import licences
from rxlint.page.npm import install, run_node
from rxlint.page.problems import Unbuildable
from rxlint.page.wheels import wheels

_HERE: Final = Path(__file__).parent
_STATIC: Final = (".html", ".css", ".svg", ".png", ".ico", ".webmanifest")
_LIBRARY: Final = "python_stdlib.zip"
PYTHON: Final = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", _LIBRARY, "pyodide-lock.json")
"""What a browser reads of the npm package ``pyodide``."""
READY: Final = "ready.zip"
START: Final = "start.json"
"""What a start reads, with sizes; see ``web/src/runtime.ts``."""
_WORKER: Final = "offline.js"
_SUMMED: Final = "listed.json"

Tell = Callable[[str], None]


def make_page(place: Path, tell: Tell) -> None:
    """Make the folder at ``place``, telling each step. Raises Unbuildable, and OSError where files can't be written."""
    check_place(place)
    with tempfile.TemporaryDirectory(prefix="rxlint-page-") as work:
        web = _copied(Path(work))
        made = web / "made"
        made.mkdir()
        tell("Fetching the packages (npm)")
        install(web)
        tell("Putting the files together")
        _static(web, made)
        _python(web, made)
        for each in wheels():
            (made / "wheels").mkdir(exist_ok=True)
            (made / "wheels" / each.name).write_bytes(each.data)
        run_node(web, "bundle.mjs", made)
        _write_start(made)
        tell("Running the program once, so that it starts faster")
        run_node(web, "node.mjs", made, web)
        shutil.copyfile(web / READY, made / READY)
        shutil.copyfile(web / _LIBRARY, made / "python" / _LIBRARY)
        _write_start(made)
        _offline(web, made)
        write_list(made)
        put(made, place)


def _copied(work: Path) -> Path:
    """The sources of the page, in a folder where npm may put its own beside them."""
    if not (_HERE / "web" / "package-lock.json").is_file():
        raise Unbuildable(f"rxlint is not completely installed: there is no {_HERE / 'web' / 'package-lock.json'}")
    shutil.copytree(_HERE / "web", work / "page" / "web", ignore=shutil.ignore_patterns("node_modules", "made"))
    shutil.copyfile(_HERE / "unpack.py", work / "page" / "unpack.py")  # the bundle holds it as text
    return work / "page" / "web"


def _static(web: Path, made: Path) -> None:
    for path in sorted(web.iterdir()):
        if path.suffix in _STATIC:
            shutil.copyfile(path, made / path.name)
    (made / "licences.txt").write_text(licences(web), "utf-8")


def _python(web: Path, made: Path) -> None:
    (made / "python").mkdir()
    for name in PYTHON:
        shutil.copyfile(web / "node_modules" / "pyodide" / name, made / "python" / name)


def _write_start(made: Path) -> None:
    archives = [*sorted((made / "wheels").iterdir()), *([made / READY] if (made / READY).exists() else [])]
    told = {
        "python": [_sized(made / "python" / name, made) for name in PYTHON if not name.endswith(".mjs")],
        "archives": [_sized(path, made) for path in archives],
    }
    (made / START).write_text(json.dumps(told, indent=1) + "\n", "utf-8")


def _sized(path: Path, made: Path) -> dict[str, Any]:
    return {"path": path.relative_to(made).as_posix(), "bytes": path.stat().st_size}


def _offline(web: Path, made: Path) -> None:
    """The service worker: it holds the list of all that it keeps, so that another folder has another one."""
    files = listed(made)
    told = {"version": version_of(files), "files": {path: each["sha256"] for path, each in files.items()}}
    (web / _SUMMED).write_text(json.dumps(told), "utf-8")
    run_node(web, "bundle.mjs", made, web / _SUMMED)
    if not (made / _WORKER).is_file():
        raise Unbuildable(f"{_WORKER} was not made")

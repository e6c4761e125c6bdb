"""What a start in a browser would have to make again each time, made once when the folder is.

Modules as Python compiles them, and what rxlint keeps between runs (``rxlint/store``): without it the packs alone take
longer to read than somebody waits. Runs in the browser's own Python, for both are of that alone.
"""

from __future__ import annotations

import datetime
import importlib.util
import json
import os
import py_compile
import sys
import tempfile
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from rxlint.page.archives import zipped
from rxlint.page.asked import OURS, Asked
from rxlint.page.desk import Desk
from rxlint.page.views import FORMS

_DAY: Final = datetime.date(2026, 1, 1)  # any: what is kept is of rules, not of documents
_ORDER: Final = """prescription "Start"
  id START
settings
  mode pressure control
  PEEP 5 cmH2O
  inspiratory pressure 15 cmH2O above PEEP
  rate 20 /min
  inspiratory time 1.0 s
  oxygen 30 %
"""
_AT: Final[Mapping[str, Any]] = {"path": "start.vrx", "line": 5, "column": 4}
QUESTIONS: Final[Sequence[Mapping[str, Any]]] = (
    {"ask": "about"},
    {"ask": "put", "path": "start.vrx", "text": _ORDER},
    {"ask": "put", "path": "then.vrx", "text": _ORDER.replace("20 /min", "22 /min")},
    {"ask": "put", "path": "policy.yaml", "text": "policy: Start\n"},
    {"ask": "look", "path": "start.vrx"},
    {"ask": "look", "path": "policy.yaml"},
    {"ask": "colours", "path": "start.vrx"},
    {"ask": "colours", "path": "policy.yaml"},
    {"ask": "offers", **_AT},
    {"ask": "offers", **_AT, "path": "policy.yaml", "line": 1},
    {"ask": "hover", **_AT},
    {"ask": "hover", **_AT, "path": "policy.yaml", "line": 1},
    {"ask": "changes", "path": "start.vrx", "line": 1, "end_line": 5},
    {"ask": "coverage", "path": "start.vrx"},
    {"ask": "sheet", "path": "start.vrx", "ventilator": "", "before": ""},
    {"ask": "sheet", "path": "then.vrx", "ventilator": "", "before": "start.vrx"},
    {"ask": "ventilators", "path": "start.vrx"},
    {"ask": "setup", "path": "start.vrx", "ventilator": "", "period": ""},
    {"ask": "compare", "old": "start.vrx", "new": "then.vrx"},
    *({"ask": "report", "format": form} for form in FORMS),
    {"ask": "values", "path": "start.vrx"},
    {"ask": "tidy", "path": "start.vrx"},
    {"ask": "rule", "rule": "governance.author"},
    {"ask": "settings"},
)
"""What a session asks: whatever is imported for it is compiled, and all that is kept for it is kept."""


def use(folder: Path) -> None:
    """Ask everything once of a desk in an empty folder. Raises RuntimeError where the program fails at it; a reason of
    the order's own not to answer is no failure.
    """
    asked = Asked(Desk(folder, _DAY))
    for question in QUESTIONS:
        answer = json.loads(asked.answer(json.dumps(question)))
        fault = answer.get("fault", "") if answer is not None else ""
        if fault.startswith(OURS):
            raise RuntimeError(f"{question['ask']}: {fault}")


def make_ready(place: str, kept: str, out: str) -> None:
    """Write two archives into the folder ``out``. ``ready.zip`` holds what came to stand in ``kept``, which
    ``RXLINT_CACHE`` has to name, and the modules below ``place`` that were imported, compiled; ``python_stdlib.zip``
    holds the library that Python has, with its imported modules compiled as well.

    Raises RuntimeError as ``use``, and where nothing was kept.
    """
    with tempfile.TemporaryDirectory() as folder:
        use(Path(folder))
    ready = {f"kept/{path.name}": path.read_bytes() for path in Path(kept).iterdir()}
    if not ready:
        raise RuntimeError("nothing was kept of the packs")
    for path in _imported(place):
        compiled = Path(importlib.util.cache_from_source(path)).relative_to(place)
        ready[f"app/{compiled.as_posix()}"] = _compiled(Path(path).read_bytes(), path)
    library = next(each for each in sys.path if each.endswith(".zip"))
    with zipfile.ZipFile(library) as archive:
        files = {name: archive.read(name) for name in archive.namelist() if not name.endswith("/")}
    for path in _imported(library):
        name = Path(path).relative_to(library).as_posix()
        files[f"{name}c"] = _compiled(files[name], path)
    Path(out, "ready.zip").write_bytes(zipped(ready))
    Path(out, "python_stdlib.zip").write_bytes(zipped(files))


def _imported(below: str) -> Iterator[str]:
    paths = {getattr(module, "__file__", None) or "" for module in list(sys.modules.values())}
    # What came out of a folder's .pyc tells the path of its source; out of an archive's, its own.
    sources = {path.removesuffix("c") if path.endswith(".pyc") else path for path in paths}
    yield from sorted(path for path in sources if path.startswith(f"{below}/") and path.endswith(".py"))


def _compiled(source: bytes, path: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        text, made = os.path.join(folder, "text.py"), os.path.join(folder, "made.pyc")
        Path(text).write_bytes(source)
        # Never held against the source: that can't change in a browser, and looking would cost a start its time.
        never = py_compile.PycInvalidationMode.UNCHECKED_HASH
        py_compile.compile(text, made, dfile=path, doraise=True, invalidation_mode=never)
        return Path(made).read_bytes()

"""The browser's Python gives the same report as the command line, to the byte, over all examples."""

import base64
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.documents import DAY
from tests.page.nodes import NODE, lay_out_sockets
from tests.shelf import EXAMPLES

ASK = Path(__file__).with_name("node_ask.mjs")
_LIMIT = 900  # seconds; some 40 on an idle machine


def asking(page: Path, folder: Path, questions: list[dict[str, Any]]) -> "subprocess.Popen[bytes]":
    """Node.js with the program of a made folder; its answers come to stand in ``answers.json``."""
    lay_out_sockets(page)
    (folder / "questions.json").write_text(json.dumps(questions), "utf-8")
    node = shutil.which("node")
    assert node is not None
    command = [node, ASK, NODE, page, DAY.isoformat(), folder / "questions.json", folder / "answers.json"]
    return subprocess.Popen(list(map(str, command)))


def test_json_of_all_examples_is_the_same_in_the_browser_s_python(made_page: Path, tmp_path: Path) -> None:
    paths = sorted(path for path in EXAMPLES.rglob("*") if path.is_file())
    files = [
        {"path": path.relative_to(EXAMPLES).as_posix(), "base64": base64.b64encode(path.read_bytes()).decode()}
        for path in paths
    ]
    questions: list[dict[str, Any]] = [{"ask": "take", "files": files}, {"ask": "report", "format": "json"}]
    copied = tmp_path / "examples"
    shutil.copytree(EXAMPLES, copied)
    command = [sys.executable, "-m", "rxlint", "screen", "--format", "json", "--on", DAY.isoformat(), "--no-cache", "."]
    environment = {**os.environ, "HOME": str(tmp_path)}
    with asking(made_page, tmp_path, questions) as node:
        done = subprocess.run(command, cwd=copied, env=environment, capture_output=True, check=False, timeout=_LIMIT)
        assert node.wait(_LIMIT) == 0
    assert done.returncode == 1, done.stderr
    taken, report = map(json.loads, json.loads((tmp_path / "answers.json").read_text("utf-8")))
    assert len(taken["files"]) == len(files) > 300
    assert report["text"].encode() == done.stdout

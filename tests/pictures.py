"""The pictures of README.md, made from what the program shows: a run of ``rxlint screen``, and the findings of a sheet.

``python -m tests.pictures --write`` draws them anew; that of the sheet needs Chromium. Tests hold them fresh: the first
is text and compared as such; the second carries the digest of what it was taken of, and that of its pixels.
"""

from __future__ import annotations

import contextlib
import hashlib
import re
import shutil
import struct
import subprocess
import sys
import tempfile
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final
from xml.sax.saxutils import escape

from rxlint.reports.style import Style

ROOT: Final = Path(__file__).resolve().parent.parent
FOLDER: Final = "examples/pictures"
RUN: Final = f"{FOLDER}/screen.svg"
SHEET: Final = f"{FOLDER}/sheet.png"
DAY: Final = "2026-11-24"
SHOWN: Final = ("examples/slips/unit-left-out.vrx", "examples/slips/peep-raised-alone.vrx")
SHEET_OF: Final = "examples/slips/peep-raised-alone.vrx"

Run = tuple[str, str]
"""A stretch of text with what it is: the way that ``Style`` marks it, or "" for plain text."""


def told_by(*arguments: str) -> str:
    """What the command line writes, called from the top of the checkout. Raises RuntimeError where it can't do so."""
    from click.testing import CliRunner

    from rxlint.cli import main

    with contextlib.chdir(ROOT):
        result = CliRunner(env={"RXLINT_CACHE": "off"}).invoke(main, arguments, catch_exceptions=False)
    if result.exit_code not in (0, 1):
        raise RuntimeError(f"rxlint {' '.join(arguments)}: {result.output}")
    return result.stdout


# ---- a run, as text on a plain ground

COLUMNS: Final = 104
_HANGING: Final = 16  # columns: where the text of a line below a finding begins
_WAYS: Final = ("reject", "query", "note", "quiet", "strong")
_MARK: Final = re.compile(r"\x1b\[([0-9;]*)m")
_SIZE, _LINE, _GAP, _EDGE = 14, 20, 8, 20  # letters, a line, room above a finding, margin; in pixels
_ADVANCE: Final = 0.62  # of a letter, of its size: the widest among common monospaced faces

# Ground and letters for a light and a dark surround; a test asks for enough contrast.
LIGHT: Final = {
    "ground": "#fbfaf6", "plain": "#22262b", "reject": "#9b1b1b", "query": "#7a4600", "note": "#0d566b",
    "quiet": "#5b6068", "strong": "#22262b",
}  # fmt: skip
DARK: Final = {
    "ground": "#1c2024", "plain": "#e7e4dd", "reject": "#ff8d82", "query": "#eeb458", "note": "#79c5dc",
    "quiet": "#a6abb2", "strong": "#e7e4dd",
}  # fmt: skip


def marked(text: str) -> list[list[Run]]:
    """The lines of a coloured report as stretches of text. Raises ValueError for a mark that no ``Style`` makes."""
    ways = {Style(True).mark("", way).removesuffix("\x1b[0m"): way for way in _WAYS} | {"\x1b[0m": ""}
    lines: list[list[Run]] = []
    way = ""
    for line in text.splitlines():
        runs: list[Run] = []
        end = 0
        for mark in _MARK.finditer(line):
            runs.append((line[end : mark.start()], way))
            if mark.group() not in ways:
                raise ValueError(f"a mark that no style makes: {mark.group()!r}")
            way, end = ways[mark.group()], mark.end()
        runs.append((line[end:], way))
        lines.append([run for run in runs if run[0]])
    return lines


def folded(line: Sequence[Run], columns: int = COLUMNS) -> Iterator[list[Run]]:
    """A line in rows of so many columns, broken at spaces; what goes on hangs below what it goes on from."""
    letters = [(letter, way) for text, way in line for letter in text]
    is_detail = "".join(letter for letter, _ in letters[:4]) == "    "
    hanging: list[Run] = [(" " * (_HANGING if is_detail else 4), "")]
    before: list[Run] = []
    while True:
        room = columns - sum(len(text) for text, _ in before)
        at = _break(letters, room)
        yield [*before, *_runs(letters[:at])]
        letters = letters[at:]
        while letters and letters[0][0] == " ":
            letters = letters[1:]
        if not letters:
            return
        before = hanging


def _break(letters: Sequence[Run], room: int) -> int:
    if len(letters) <= room:
        return len(letters)
    spaces = [at for at in range(_HANGING, room + 1) if letters[at][0] == " "]
    between = [at for at in spaces if not letters[at - 1][0].isdigit()]  # a number and its unit stay together
    return (between or spaces or [room])[-1]


def _runs(letters: Sequence[Run]) -> list[Run]:
    runs: list[Run] = []
    for letter, way in letters:
        if runs and runs[-1][1] == way:
            runs[-1] = runs[-1][0] + letter, way
        else:
            runs.append((letter, way))
    return runs


def drawn(lines: Sequence[Sequence[Run]], title: str) -> str:
    """Lines of text as a picture that scales, and that follows the reader's light or dark surround."""
    texts: list[str] = []
    y = _EDGE - 6
    for line in lines:
        y += _GAP if texts and line and not line[0][0].startswith(" ") else 0  # a little room above each finding
        for row in folded(line):
            y += _LINE
            texts.append(f'<text x="{_EDGE}" y="{y}">{"".join(map(_span, row))}</text>')
    width, height = round(COLUMNS * _SIZE * _ADVANCE) + 2 * _EDGE, y + 6 + _EDGE
    style = f"{_rules(LIGHT)}@media (prefers-color-scheme: dark) {{\n{_rules(DARK)}}}\n"
    body = "\n".join(texts)
    return f"""\
<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}" role="img">
<title>{escape(title)}</title>
<style>
text {{ font: {_SIZE}px ui-monospace, "DejaVu Sans Mono", Menlo, Consolas, "Liberation Mono", monospace }}
text {{ white-space: pre }}
.reject, .strong {{ font-weight: bold }}
{style}</style>
<rect class="ground" width="{width}" height="{height}"/>
<g xml:space="preserve">
{body}
</g>
</svg>
"""


def _rules(colours: dict[str, str]) -> str:
    ways = "".join(f".{way} {{ fill: {colours[way]} }}\n" for way in _WAYS)
    return f".ground {{ fill: {colours['ground']} }}\ntext {{ fill: {colours['plain']} }}\n{ways}"


def _span(run: Run) -> str:
    text, way = run
    return f'<tspan class="{way}">{escape(text)}</tspan>' if way else escape(text)


def run_told() -> str:
    """The run of the picture: the command as typed, and what it writes in colour."""
    arguments = ("screen", "--on", DAY, *SHOWN)
    return f"$ rxlint {' '.join(arguments)}\n" + told_by(*arguments, "--colour", "always")


def run_picture() -> str:
    """The picture of a run."""
    return drawn(marked(run_told()), "A run of rxlint screen")


def run_block() -> str:
    """The picture in README.md, with what it says in words."""
    found = findings_in(run_told())
    count = f"{len(found)} findings, each with what is written and what could stand instead"
    return f"![A run of rxlint screen, as text: {count}. {'. '.join(found)}.]({RUN})"


def findings_in(told: str) -> list[str]:
    """The findings of a report, each as a sentence without its rule."""
    lines = _MARK.sub("", told).splitlines()
    return [line.partition(" [")[0] for line in lines if line.startswith("examples/")]


# ---- the findings of a sheet

_AT: Final = "found"  # the section that is shown: what the program found, after the reader's own check
_UNSEEN: Final = "sums-compared"  # the section after the text of the order
_PAGE: Final = (960, 1000)  # the window, in pixels
_SCALE: Final = 1.5
_BROWSERS: Final = ("chromium", "chromium-browser", "google-chrome")
_QUIET: Final = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
)
# Chromium takes its picture of the top of a page, so the page is put in a frame, which goes to the section.
_FRAME: Final = f"""<!doctype html><body style="margin: 0">
<iframe src="sheet.html#{_AT}" style="width: {_PAGE[0]}px; height: {_PAGE[1]}px; border: 0; display: block"></iframe>
"""
_SIGNATURE: Final = b"\x89PNG\r\n\x1a\n"
_KEY: Final = b"Source and pixels"


def sheet_page() -> bytes:
    """The page that the picture is taken of, as the command writes it."""
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "sheet.html"
        told_by("sheet", SHEET_OF, "--on", DAY, "--output", str(page))
        return page.read_bytes()


def sheet_block() -> str:
    """The picture in README.md, with what it says in words."""
    said = ". ".join(findings_in(told_by("screen", "--on", DAY, SHEET_OF)))
    what = "what is written and where, the calculation, the corrections, why it matters, the rule and its source"
    return f"![The findings on a checker's sheet, above the numbered text of the order: {said}; {what}]({SHEET})"


def photographed(page: bytes) -> bytes:
    """A page as Chromium shows it at its findings. Raises RuntimeError where there is none, or it takes no picture."""
    browser = next(filter(None, map(shutil.which, _BROWSERS)), None)
    if browser is None:
        raise RuntimeError(f"none of {', '.join(_BROWSERS)} is installed")
    with tempfile.TemporaryDirectory() as folder:
        source, picture = Path(folder) / "frame.html", Path(folder) / "sheet.png"
        (Path(folder) / "sheet.html").write_bytes(page)
        source.write_text(_FRAME, encoding="utf-8")
        size = f"--window-size={_PAGE[0]},{_PAGE[1]}"
        options = (f"--user-data-dir={folder}/profile", size, f"--force-device-scale-factor={_SCALE}")
        command = [browser, *_QUIET, *options, f"--screenshot={picture}", source.as_uri()]
        run = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
        if not picture.is_file() or is_blank(picture.read_bytes()):
            raise RuntimeError(f"{browser} took no picture, or that of an empty page:\n{run.stderr}")
        return picture.read_bytes()


def signed(picture: bytes, page: bytes) -> bytes:
    """A picture that says what it was taken of, in a text chunk of its own."""
    text = _KEY + b"\0" + f"{digest(seen_of(page))} {pixels(picture)}".encode("ascii")
    chunk = struct.pack(">I", len(text)) + b"tEXt" + text + struct.pack(">I", zlib.crc32(b"tEXt" + text))
    end = picture.rindex(b"IEND") - 4
    return picture[:end] + chunk + picture[end:]


def seen_of(page: bytes) -> bytes:
    """What of a page can be in the picture: its style, and its findings with the text below them, which is longer than
    the picture is high. Raises ValueError for a page that is laid out otherwise.
    """
    style = page.index(b"<style>"), page.index(b"</style>")
    found = page.index(f'id="{_AT}"'.encode("ascii")), page.index(f'id="{_UNSEEN}"'.encode("ascii"))
    if found[0] >= found[1]:
        raise ValueError(f"{_UNSEEN} stands before {_AT}")
    return page[slice(*style)] + page[slice(*found)]


def signature(picture: bytes) -> str | None:
    """The digests that a picture carries; None where it says nothing."""
    for kind, data in chunks(picture):
        if kind == b"tEXt" and data.startswith(_KEY + b"\0"):
            return data[len(_KEY) + 1 :].decode("ascii")
    return None


def chunks(picture: bytes) -> Iterator[tuple[bytes, bytes]]:
    """The parts of a PNG file by their kind. Raises ValueError for another file."""
    if not picture.startswith(_SIGNATURE):
        raise ValueError("this is no PNG file")
    at = len(_SIGNATURE)
    while at < len(picture):
        (length,) = struct.unpack(">I", picture[at : at + 4])
        yield picture[at + 4 : at + 8], picture[at + 8 : at + 8 + length]
        at += length + 12


def pixels(picture: bytes) -> str:
    """The digest of what a PNG file shows: its head and its pixels as they are packed."""
    return digest(b"".join(data for kind, data in chunks(picture) if kind in (b"IHDR", b"PLTE", b"IDAT")))


def is_blank(picture: bytes) -> bool:
    """Whether a picture is of one colour: then hardly any two bytes of its pixels differ."""
    packed = b"".join(data for kind, data in chunks(picture) if kind == b"IDAT")
    return len(set(zlib.decompress(packed))) < 16


def digest(data: bytes) -> str:
    """A digest that no two pages share."""
    return hashlib.sha256(data).hexdigest()


def main() -> None:
    """Draw the pictures anew."""
    (ROOT / FOLDER).mkdir(exist_ok=True)
    (ROOT / RUN).write_text(run_picture(), encoding="utf-8")
    page = sheet_page()
    (ROOT / SHEET).write_bytes(signed(photographed(page), page))


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit("usage: python -m tests.pictures --write")
    main()

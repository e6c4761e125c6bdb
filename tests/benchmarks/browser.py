"""How fast the page of `rxlint page` is in headless Chromium, on this machine, and how large its folder.

    python tests/benchmarks/browser.py --rounds 5 --keys 60 --page

opening     from asking for the address to the program's being ready, and to the first finding of a document that was
            laid on the desk while it loaded; with an empty profile, and on a second visit, when the files are kept
keystroke   from a key's going down to its finding's standing in the margin, or its being gone; a digit is typed behind
            a setting, which makes a slip, and taken away again
folder      its files by part, as they are and compressed as a server may send them

``--made DIR`` measures a folder that is there already. Not part of the test run.
"""

from __future__ import annotations

import argparse
import datetime
import os
import platform
import statistics
import sys
import tempfile
import time
import zlib
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))

from tests.page.desk_page import START, DeskPage  # noqa: E402 - the checkout must be on the path first
from tests.page.serving import serving  # noqa: E402 - the checkout must be on the path first
from tests.reports.sheet.browser import browser  # noqa: E402 - the checkout must be on the path first

PAGE = Path(__file__).with_name("BROWSER.md")
SLIP = ROOT / "examples" / "slips" / "peep-raised-alone.vrx"
ORDERS = {  # the name of an example, and the setting behind whose number a digit is typed
    "TM-0504-child-tube-volume-targeted.vrx": "rate ",
    "TM-0510": "rate ",
    "TM-0524-adult-weaning-with-oxygen-bled-in.vrx": "rate ",
    "TM-0508": "rate ",
}
_WATCH = """
const [number, done] = [arguments[0], arguments[arguments.length - 1]];
const notes = document.querySelector("#notes");
const of = () => [...notes.querySelectorAll(".finding")].map(each => each.dataset.key).join("|");
const before = of();
let down = null;
document.addEventListener("keydown", () => { down = performance.now(); }, {once: true, capture: true});
const watcher = new MutationObserver(() => {
  if (down === null || of() === before) return;
  watcher.disconnect();
  clearTimeout(limit);
  done(performance.now() - down);
});
watcher.observe(notes, {childList: true, subtree: true, attributes: true});
const limit = setTimeout(() => { watcher.disconnect(); done(null); }, 10000);
window.watching = number;
"""
_KEYS = {"7": ("7", "Digit7", 55, "7"), "back": ("Backspace", "Backspace", 8, "")}


def pressed(page: DeskPage, name: str) -> None:
    """A key as a keyboard sends it."""
    key, code, number, text = _KEYS[name]
    common = {"key": key, "code": code, "windowsVirtualKeyCode": number}
    page.browser.command("Input.dispatchKeyEvent", type="keyDown", text=text, **common)
    page.browser.command("Input.dispatchKeyEvent", type="keyUp", **common)


def openings(made: Path, rounds: int) -> dict[str, list[tuple[float, float]]]:
    """Seconds to the program and to the first finding: with an empty profile, and on the visit after it."""
    found: dict[str, list[tuple[float, float]]] = {"first visit": [], "second visit": []}
    for _ in range(rounds):
        with tempfile.TemporaryDirectory() as profile, browser(Path(profile)) as chromium, serving(made) as served:
            page = DeskPage(chromium, served.address)
            for measured in found.values():
                measured.append(_opening(page))
    return found


def _opening(page: DeskPage) -> tuple[float, float]:
    begun = time.perf_counter()
    page.open(ready=False)
    page.until("it can be used", lambda: page.all_shown("#new"))
    page.new()
    page.write(SLIP.read_text("utf-8"))
    page.until("the program", page.is_ready, START)
    ready = time.perf_counter() - begun
    page.until("the finding", page.notes)
    first = time.perf_counter() - begun
    page.until("it is kept", lambda: "without a network" in page.shown("#kept"), START)
    return ready, first


def keystrokes(made: Path, count: int) -> dict[str, list[float]]:
    """Milliseconds for each order, of every keystroke but the first ten."""
    found: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory() as profile, browser(Path(profile)) as chromium, serving(made) as served:
        page = DeskPage(chromium, served.address)
        for name, setting in ORDERS.items():
            path = next((ROOT / "examples" / "sound").glob(f"{name}*"))
            text = path.read_text("utf-8")
            page.open()
            page.new()
            page.write(text)
            page.wait_checked()
            lines = text.splitlines()
            line = next(at for at, each in enumerate(lines, 1) if each.startswith(f"  {setting}"))
            column = len(lines[line - 1].split("/")[0].rstrip())
            page.one(
                "const view = document.querySelector('#editor .cm-content').cmTile.root.view; view.focus();"
                "view.dispatch({selection: {anchor: view.state.doc.line(arguments[0]).from + arguments[1]},"
                " scrollIntoView: true})",
                line,
                column,
            )
            time.sleep(1)
            measured = [one_key(page, "7" if number % 2 == 0 else "back", number) for number in range(count + 10)]
            found[f"{path.stem[:7]}, {len(lines)} lines"] = measured[10:]
    return found


def one_key(page: DeskPage, name: str, number: int) -> float:
    """Milliseconds from a key to what it changes in the margin."""
    driver = page.browser.driver
    driver.execute_script(
        f"window.told = new Promise(tell => (function () {{{_WATCH}}})(arguments[0], tell)); return null", number
    )
    pressed(page, name)
    told = driver.execute_async_script("window.told.then(arguments[arguments.length - 1])")
    if told is None:
        raise RuntimeError(f"key {number} changed nothing in the margin\n{page.shown()[:2000]}")
    time.sleep(0.15)  # as long as a hand takes
    return float(told)


def sizes(made: Path) -> list[tuple[str, int, int]]:
    """The parts of the folder: bytes, and bytes compressed."""
    parts: dict[str, list[Path]] = {}
    for path in sorted(made.rglob("*")):
        if path.is_file():
            first = path.relative_to(made).parts
            parts.setdefault(f"{first[0]}/" if len(first) > 1 else first[0], []).append(path)
    rows = [
        (
            name,
            sum(each.stat().st_size for each in some),
            sum(len(zlib.compress(each.read_bytes(), 6)) for each in some),
        )
        for name, some in parts.items()
    ]
    rows.sort(key=lambda row: -row[1])
    small = [row for row in rows if row[1] < 100_000]
    rest = ("the rest", sum(row[1] for row in small), sum(row[2] for row in small))
    kept = [row for row in rows if row[1] >= 100_000]
    return [*kept, rest, ("all", sum(row[1] for row in rows), sum(row[2] for row in rows))]


def _size(path: Path) -> int:
    return path.stat().st_size


def _compressed(path: Path) -> int:
    return len(zlib.compress(path.read_bytes(), 6))


def table(heading: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    return "\n".join(
        ["| " + " | ".join(each) + " |" for each in (heading, ["---", *["--:"] * (len(heading) - 1)], *rows)]
    )


def _seconds(measured: Sequence[float]) -> str:
    return f"{statistics.median(measured):.1f} ({min(measured):.1f} to {max(measured):.1f})"


def told(made: Path, rounds: int, count: int) -> str:
    """The page of figures."""
    load = os.getloadavg()[0]
    opened = openings(made, rounds)
    typed = keystrokes(made, count)
    opening_rows = [[visit, *map(_seconds, zip(*each, strict=True))] for visit, each in opened.items()]
    key_rows = [
        [name, f"{statistics.median(each):.0f}", f"{statistics.quantiles(each, n=20)[-1]:.0f}", f"{max(each):.0f}",
         f"{sum(one < 50 for one in each) / len(each):.0%}"]
        for name, each in typed.items()
    ]  # fmt: skip
    size_rows = [[name, f"{raw / 1e6:.2f}", f"{packed / 1e6:.2f}"] for name, raw, packed in sizes(made)]
    return (
        "\n\n".join(
            [
                "# The page in a browser",
                f"Made by `python tests/benchmarks/browser.py --page` on {datetime.date.today()}: headless Chromium on"
                f" {os.cpu_count()} cores, {platform.system()} {platform.machine()}, load {load:.1f} before it."
                " The server is Python's own, on the same machine.",
                f"## Opening it\n\nSeconds, medians of {rounds} (and the range). The document is laid on the desk while"
                " the program is being loaded. At the second visit the browser takes the files from its own store.",
                table(("", "program ready", "first finding"), opening_rows),
                f"## A keystroke\n\nMilliseconds from the key to the note's standing, or being gone; {count} keys each."
                " The goal is 50 for an order of 100 lines.",
                table(("order", "median", "95 of 100 below", "longest", "below 50"), key_rows),
                "## The folder\n\nMegabytes, as they are and compressed.",
                table(("part", "MB", "compressed"), size_rows),
            ]
        )
        + "\n"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description="How fast is the page?")
    parser.add_argument("--made", type=Path, help="a folder that was made before")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--keys", type=int, default=60)
    parser.add_argument("--page", action="store_true", help=f"write {PAGE.name}")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        made = options.made
        if made is None:
            from rxlint.page.build import make_page

            made = Path(folder) / "page"
            make_page(made, print)
        text = told(made, options.rounds, options.keys)
    print(text)
    if options.page:
        PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()

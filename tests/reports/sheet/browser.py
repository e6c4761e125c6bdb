"""A real browser for the tests of pages: headless Chromium, with what it logs, asks for, shows and prints."""

from __future__ import annotations

import base64
import json
import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any, Final

import pytest

DESK: Final = 1280
PHONE: Final = 360  # CSS pixels, a telephone
NARROWEST: Final = 320  # CSS pixels without scrolling sideways: WCAG 2.1, 1.4.10 Reflow
PAPERS: Final = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm: ISO 216; ANSI/ASME Y14.1
MARGINS: Final = (18.0, 13.0, 16.0, 13.0)  # mm: as @page of templates/base.css
_OPTIONS: Final = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",  # what a page asks for is logged and goes no further
)
_LIMIT: Final = 120  # seconds for one command of a browser or of npm; beyond, it hangs


def program(name: str) -> str:
    """Where a program is; the test is skipped where there is none."""
    found = shutil.which(name) if os.name == "posix" else None
    if found is None:
        pytest.skip(f"{name} is not installed here")
    return found


@dataclass(frozen=True)
class Seen:
    """What happened since a page was opened: what was logged, which addresses were asked for, how often it spoke up."""

    logged: list[str]
    asked: list[str]
    dialogs: list[str]

    @property
    def outside(self) -> list[str]:
        """The addresses that are not on this disk."""
        return self.beyond()

    def beyond(self, server: str | None = None) -> list[str]:
        """The addresses that are neither on this disk nor at a server of the test's own."""
        own = ("file:", "data:", "blob:", *([server] if server is not None else []))
        return [each for each in self.asked if not each.startswith(own)]


class Browser:
    """One Chromium with one tab. ``driver`` is selenium's; what this class does not say, it says."""

    def __init__(self, driver: Any) -> None:
        self.driver = driver

    def command(self, name: str, **given: Any) -> Any:
        """A command of the Chrome DevTools Protocol."""
        return self.driver.execute_cdp_cmd(name, given)

    def run(self, script: str, *given: Any) -> Any:
        """What a script returns. It comes from the tester's side, so the page's policy does not hold it."""
        return self.driver.execute_script(script, *given)

    def open(self, page: Path, width: int = DESK, *, dark: bool = False, fragment: str = "") -> None:
        """Open a page from the disk in a window of a width; what was seen before is forgotten."""
        self.show(width, dark=dark)
        self.driver.get("about:blank")  # else a fragment alone would not load the page anew
        self.seen()
        self.driver.get(page.as_uri() + fragment)

    def visit(self, address: str, width: int = DESK, *, dark: bool = False) -> None:
        """Open a page from a server in a window of a width; what was seen before is forgotten."""
        self.show(width, dark=dark)
        self.driver.get("about:blank")
        self.seen()
        self.driver.get(address)

    def letters(self, size: int) -> None:
        """The size of letters that the reader has chosen in the browser, in pixels; 16 where none is chosen."""
        self.command("Page.setFontSizes", fontSizes={"standard": size, "fixed": round(size * 13 / 16)})

    def show(self, width: int, *, dark: bool = False, paper: bool = False) -> None:
        """The width of the window and the medium, of this page and of the next."""
        self.command(
            "Emulation.setDeviceMetricsOverride", width=width, height=800, deviceScaleFactor=1, mobile=width <= PHONE
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.command("Emulation.setEmulatedMedia", media="print" if paper else "", features=[scheme])

    def seen(self) -> Seen:
        """What was seen since this was last asked."""
        logged = [f"{each['level']}: {each['message']}" for each in self.driver.get_log("browser")]
        events = [json.loads(each["message"])["message"] for each in self.driver.get_log("performance")]
        asked = [each["params"]["request"]["url"] for each in events if each["method"] == "Network.requestWillBeSent"]
        dialogs = [
            each["params"]["message"] for each in events if each["method"] == "Page.javascriptDialogOpening"
        ]  # fmt: skip
        return Seen(logged, [each for each in asked if each != "about:blank"], dialogs)

    def text(self, selector: str = "body") -> str:
        """What a reader sees of an element, without white space."""
        return squeezed(str(self.run("return document.querySelector(arguments[0]).innerText", selector)))

    def printed(self, paper: str) -> bytes:
        """The page as PDF on a paper, with the margins and the running lines that its own style sheet asks for."""
        width, height = (mm / 25.4 for mm in PAPERS[paper])
        made = self.command("Page.printToPDF", paperWidth=width, paperHeight=height, printBackground=False)
        return base64.b64decode(made["data"])


@contextmanager
def browser(profile: Path) -> Iterator[Browser]:
    """A browser with an empty profile, quit at the end. Skips where selenium, Chromium or its driver is missing."""
    webdriver = pytest.importorskip("selenium.webdriver")
    chromium, driver = program("chromium"), program("chromedriver")
    options = webdriver.ChromeOptions()
    options.binary_location = chromium
    for each in (*_OPTIONS, f"--user-data-dir={profile}"):
        options.add_argument(each)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    options.set_capability("unhandledPromptBehavior", "dismiss")
    # With both paths given, selenium looks for no driver and fetches none.
    started = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=driver))
    try:
        started.set_script_timeout(_LIMIT)
        started.set_page_load_timeout(_LIMIT)
        yield Browser(started)
    finally:
        started.quit()


def squeezed(text: str) -> str:
    """A text without white space, which pages and papers break and join as they need."""
    return re.sub(r"\s+", "", text)


# ---- paper


@dataclass(frozen=True)
class Word:
    """A word on paper and its box, in points from the top left."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class Leaf:
    """A page of paper: its size in points, and its words in the order in which they are printed."""

    width: float
    height: float
    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        """All its text without white space."""
        return squeezed("".join(each.text for each in self.words))

    @property
    def told(self) -> str:
        """Its text as read: a space within a line, a bar where a line ends or leaves a gap."""
        told = ""
        for before, word in pairwise((None, *self.words)):
            assert word is not None
            near = before is not None and abs(before.bottom - word.bottom) < 2 and 0 <= word.left - before.right < 12
            told += (" " if near else " | ") + word.text
        return told


_LEAF: Final = re.compile(r'<page width="([0-9.]+)" height="([0-9.]+)">(.*?)</page>', re.DOTALL)
_WORD: Final = re.compile(r'<word xMin="([-0-9.]+)" yMin="([-0-9.]+)" xMax="([-0-9.]+)" yMax="([-0-9.]+)">(.*?)</word>')


def leaves(pdf: bytes) -> list[Leaf]:
    """The pages of a PDF, read by pdftotext. Skips where it is missing."""
    import html

    command = [program("pdftotext"), "-bbox", "-", "-"]
    done = subprocess.run(command, input=pdf, capture_output=True, timeout=_LIMIT, check=True)
    found = []
    for width, height, body in _LEAF.findall(done.stdout.decode("utf-8")):
        words = [Word(html.unescape(text), *map(float, box)) for *box, text in _WORD.findall(body)]
        found.append(Leaf(float(width), float(height), tuple(words)))
    return found


# ---- accessibility


def axe_source(folder: Path) -> str:
    """The source of axe-core, fetched by npm into a folder. Skips where npm is missing or its registry out of reach."""
    command = [program("npm"), "install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", str(folder)]
    done = subprocess.run(
        [*command, "axe-core@4"], cwd=folder, capture_output=True, encoding="utf-8", timeout=_LIMIT, check=False
    )
    if any(code in done.stderr for code in ("ENOTFOUND", "ECONNREFUSED", "ETIMEDOUT", "EAI_AGAIN", "ECONNRESET")):
        pytest.skip(f"axe-core could not be fetched here: {done.stderr[:300]}")
    assert done.returncode == 0, done.stderr
    return (folder / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")


_AXE: Final = """
const done = arguments[arguments.length - 1];
const only = {type: "tag", values: ["wcag2a", "wcag2aa", "wcag21aa", "best-practice"]};
axe.run(document, {runOnly: only, resultTypes: ["violations"]}).then(
  found => done({passes: found.passes.length, violations: found.violations.map(
    each => each.id + ": " + each.help + ": " + each.nodes.slice(0, 4).map(
      node => node.target.join(" ") + " " + node.any.concat(node.all).map(check => check.message).join("; ")
    ).join(" | "))}),
  fault => done({passes: 0, violations: ["axe failed: " + fault]}));
"""


def barriers(at: Browser, source: str) -> list[str]:
    """What axe-core finds on the page that is open, by its rules of WCAG 2.0 A and AA, 2.1 AA and best practice."""
    if not at.run("return typeof window.axe !== 'undefined'"):
        at.run(source)
    found = at.driver.execute_async_script(_AXE)
    assert found["passes"] > 0 or found["violations"], "axe-core has looked at nothing"
    return list(found["violations"])

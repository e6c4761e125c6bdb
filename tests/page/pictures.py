"""The pictures of the page in README.md: a desk and a telephone, as headless Chromium shows them.

``python -m tests.page.pictures --write`` takes them anew (Node.js, npm and Chromium; two minutes); ``--made DIR`` takes
them of a folder that is there already. Each carries the digest of what it was taken of, so that a test without a
browser can tell an old one.
"""

from __future__ import annotations

import argparse
import base64
import re
import struct
import tempfile
import time
import zlib
from pathlib import Path
from typing import Final

from tests.page.desk_page import DeskPage
from tests.page.serving import serving
from tests.pictures import ROOT, chunks, digest, is_blank, pixels
from tests.reports.sheet.browser import browser

FOLDER: Final = "examples/pictures"
DESK: Final = f"{FOLDER}/page-desk.png"
PHONE: Final = f"{FOLDER}/page-phone.png"
SHOWN: Final = (
    "examples/slips/cylinder-half-empty.vrx", "examples/slips/peep-raised-alone.vrx",
    "examples/slips/unit-left-out.vrx", "examples/sound/TM-0504-child-tube-volume-targeted.vrx",
)  # fmt: skip
TAKEN: Final = "examples/slips/peep-raised-alone.vrx"
_SIZES: Final = {DESK: (1280, 860, 1.5), PHONE: (390, 780, 1.5)}
_KEY: Final = b"Source and pixels"
_WEB: Final = ROOT / "rxlint" / "page" / "web"


def source_digest() -> str:
    """The digest of what can be in a picture: the page's own sources and the documents that lie on the desk."""
    files = [path for path in sorted(_WEB.rglob("*")) if path.suffix in (".ts", ".html", ".css", ".svg")]
    files = [path for path in files if not {"node_modules", "made"} & set(path.parts)]
    files += map(ROOT.joinpath, SHOWN)
    told = [f"{path.relative_to(ROOT).as_posix()}:{digest(path.read_bytes())}" for path in files]
    return digest("\n".join(told).encode())


def signature(picture: bytes) -> str | None:
    """What a picture says it was taken of; None where it says nothing, or its pixels are others."""
    for kind, data in chunks(picture):
        if kind == b"tEXt" and data.startswith(_KEY + b"\0"):
            source, _, own = data[len(_KEY) + 1 :].decode("ascii").partition(" ")
            return source if own == pixels(picture) else None
    return None


def signed(picture: bytes) -> bytes:
    """A picture that says what it was taken of, in a text chunk of its own."""
    text = _KEY + b"\0" + f"{source_digest()} {pixels(picture)}".encode("ascii")
    chunk = struct.pack(">I", len(text)) + b"tEXt" + text + struct.pack(">I", zlib.crc32(b"tEXt" + text))
    end = picture.rindex(b"IEND") - 4
    return picture[:end] + chunk + picture[end:]


def blocks() -> dict[str, str]:
    """The pictures in README.md, with what they show in words."""
    return {
        "page-desk-picture": (
            "![The page at a desk: the strip that names the order and says how much was checked and how much could not"
            " be, a note on supported breaths that reach 19 cmH2O where mandatory ones reach 17 cmH2O, with the sum,"
            f" the corrections and a thread to its line of the order]({DESK})"
        ),
        "page-phone-picture": (
            f"![The same on a telephone: the strip, the views, the marks by line, and the order below them]({PHONE})"
        ),
    }


def taken(page: DeskPage, place: str) -> bytes:
    """A picture of the page, with the slip in hand."""
    width, height, scale = _SIZES[place]
    page.open(width)
    page.choose(*map(ROOT.joinpath, SHOWN))
    name = Path(TAKEN).name
    page.until("the documents lie there", lambda: name in page.documents())
    page.until("all are checked", lambda: not re.search("being checked|not checked", page.shown("#tray")))
    page.take(name)
    page.wait_checked()
    page.until("the slip is told", page.notes)
    page.browser.command(
        "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=scale, mobile=place == PHONE
    )
    if place == DESK:
        page.show_line(43)
        page.one(
            "document.activeElement.blur();"
            "scrollBy(0, document.querySelector('#notes .finding').getBoundingClientRect().top - 220)"
        )
    page.until("nothing is said in passing", lambda: not page.shown("#said"), 15)
    time.sleep(0.5)  # threads are drawn at the next frames
    return base64.b64decode(page.browser.command("Page.captureScreenshot", format="png")["data"])


def main() -> None:
    """Take the pictures anew."""
    parser = argparse.ArgumentParser(description="Take the pictures of the page.")
    parser.add_argument("--write", action="store_true", required=True)
    parser.add_argument("--made", type=Path, help="a folder that was made before")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, browser(Path(folder) / "profile") as chromium:
        made = options.made
        if made is None:
            from rxlint.page.build import make_page

            made = Path(folder) / "page"
            make_page(made, print)
        with serving(made) as served:
            page = DeskPage(chromium, served.address)
            for place in _SIZES:
                picture = taken(page, place)
                if is_blank(picture):
                    raise RuntimeError(f"{place}: the browser has shown nothing")
                (ROOT / place).write_bytes(signed(picture))


if __name__ == "__main__":
    main()

"""The page as a person uses it: what is on the screen, and what hands do. Selectors stand here and nowhere else."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final

from tests.reports.sheet.browser import DESK, Browser

DAY: Final = "2026-11-24"
START: Final = 120.0  # seconds that a start may take on a busy machine
ANSWER: Final = 60.0
EVERY: Final = "RXLINT_EVERY_PAGE" in os.environ
WHY: Final = "RXLINT_EVERY_PAGE=1 runs all tests that open the page anew; some are enough each time"
MANY: Final = 20  # documents that take longer to take off the desk than the page to open
_VIEW: Final = "document.querySelector('#editor .cm-content').cmTile.root.view"


class DeskPage:
    """One tab with the page in it."""

    def __init__(self, browser: Browser, address: str) -> None:
        self.browser = browser
        self.address = address

    # ---- looking

    def one(self, script: str, *given: Any) -> Any:
        """What a script returns in the page."""
        return self.browser.run(script, *given)

    def until(self, what: str, holds: Callable[[], Any], limit: float = ANSWER) -> Any:
        """Wait until something holds, and what it came to."""
        end = time.monotonic() + limit
        while time.monotonic() < end:
            found = holds()
            if found:
                return found
            time.sleep(0.05)
        raise AssertionError(f"after {limit:.0f} s still not so: {what}\n{self.shown()[:3000]}")

    def shown(self, selector: str = "body") -> str:
        """The text of a part of the page as it is shown."""
        return str(self.one("return document.querySelector(arguments[0])?.innerText ?? ''", selector))

    def all_shown(self, selector: str) -> list[str]:
        """The texts of all such parts that can be seen."""
        return list(
            self.one(
                "return [...document.querySelectorAll(arguments[0])].filter(each => each.checkVisibility())"
                ".map(each => each.innerText)",
                selector,
            )
        )

    def notes(self) -> list[str]:
        """The notes beside the text, settled ones not counted."""
        return self.all_shown("#notes .finding")

    def lines_of_notes(self) -> list[str]:
        """The line that each note names."""
        return self.all_shown("#notes .finding .note-foot .place")

    def marked_lines(self) -> list[int]:
        """The numbers of the lines that carry a mark in the text, of those that are drawn."""
        return [
            int(each)
            for each in self.one(
                """
                const view = document.querySelector("#editor .cm-content").cmTile.root.view;
                const rows = [...document.querySelectorAll("#editor .cm-line:has(.under)")];
                return rows.map(row => view.state.doc.lineAt(view.posAtDOM(row)).number);
                """
            )
        ]

    @property
    def text(self) -> str:
        """What the editor holds, also what it does not draw."""
        return str(self.one(f"return {_VIEW}.state.doc.toString()"))

    def show_line(self, line: int) -> None:
        """Bring a line into sight, with the caret in it."""
        self.one(
            f"const view = {_VIEW}; view.focus();"
            "view.dispatch({selection: {anchor: view.state.doc.line(arguments[0]).to}, scrollIntoView: true})",
            line,
        )

    def box_of_line(self, line: int) -> dict[str, float]:
        """Where a line that is in sight stands on the screen."""
        return dict(
            self.one(
                f"const view = {_VIEW}; const box = view.coordsAtPos(view.state.doc.line(arguments[0]).from);"
                "return {top: box.top, bottom: box.bottom, left: box.left}",
                line,
            )
        )

    # ---- doing

    def open(self, width: int = DESK, *, dark: bool = False, query: str = f"?on={DAY}", ready: bool = True) -> None:
        """Open the page, and wait until the program is there."""
        self.browser.visit(self.address + query, width, dark=dark)
        if ready:
            self.until("the program is loaded", self.is_ready, START)

    def begin(self) -> None:
        """Begin with an empty desk: the page as it is open, cleared, where its program still runs; else opened anew."""
        is_open = self.browser.driver.current_url.startswith(self.address) and self.is_ready()
        if is_open and len(self.documents()) < MANY:
            self.browser.show(DESK)
            self.clear()
        else:
            self.open()

    def is_ready(self) -> bool:
        """Whether the program has been loaded."""
        return bool(self.one("return document.querySelector('#loading')?.hidden === true"))

    def press(self, selector: str, index: int = 0) -> None:
        """Press what can be seen of a selector."""
        found = self.one(
            "const found = [...document.querySelectorAll(arguments[0])].filter(each => each.checkVisibility());"
            "found[arguments[1]]?.click(); return found.length",
            selector,
            index,
        )
        assert found > index, f"nothing to press at {selector}\n{self.shown()[:2000]}"

    def new(self) -> None:
        """Begin an empty order."""
        self.press("#new")

    def write(self, text: str) -> None:
        """Put a text where the caret is, as if it were pasted."""
        self.one("document.querySelector('.cm-content').focus()")
        self.browser.command("Input.insertText", text=text)

    def keys(self, *pressed: str) -> None:
        """Press keys, one after another, where the focus is."""
        from selenium.webdriver.common.action_chains import ActionChains

        chain = ActionChains(self.browser.driver)
        for each in pressed:
            chain.send_keys(each)
        chain.perform()

    def held(self, holding: Sequence[str], key: str) -> None:
        """Press a key while others are held."""
        from selenium.webdriver.common.action_chains import ActionChains

        chain = ActionChains(self.browser.driver)
        for each in holding:
            chain.key_down(each)
        chain.send_keys(key)
        for each in reversed(holding):
            chain.key_up(each)
        chain.perform()

    def drop(self, *paths: Path) -> None:
        """Drop files or folders of this disk on the page."""
        data = {"items": [], "files": [str(each) for each in paths], "dragOperationsMask": 1}
        for kind in ("dragEnter", "dragOver", "drop"):
            self.browser.command("Input.dispatchDragEvent", type=kind, x=300, y=300, data=data)

    def choose(self, *paths: Path) -> None:
        """Choose files in the browser's own dialog."""
        self.browser.driver.find_element("id", "open-files").send_keys("\n".join(map(str, paths)))

    def documents(self) -> list[str]:
        """The documents on the desk, by path."""
        return list(self.one("return [...document.querySelectorAll('.slip')].map(each => each.dataset.path)"))

    def take(self, path: str) -> None:
        """Take a document in hand."""
        self.one(
            "document.querySelector('#tray-fold').open = true;"
            "[...document.querySelectorAll('.slip')].find(each => each.dataset.path === arguments[0]).click()",
            path,
        )

    def clear(self) -> None:
        """Take everything off the desk and turn to the text: as after opening, without waiting for the program."""
        self.turn("text")
        for path in self.documents():
            self.take(path)
            self.one("document.querySelector('#remove').click()")
            self.until(f"{path} is gone", partial(self._is_gone, path))
        self.one("window.scrollTo(0, 0)")  # slips out of sight are not drawn, and have no text that is shown

    def _is_gone(self, path: str) -> bool:
        asked = "document.querySelector('dialog[open] .answers button')?.click()"
        self.one(asked)  # whether it may go, where something in it is not saved
        return path not in self.documents() or (self.documents() == [path] and self.text == "")

    def turn(self, view: str) -> None:
        """Turn to a view."""
        self.press(f"#tab-{view}")

    def wait_checked(self) -> None:
        """Wait until what is shown belongs to the text as it stands."""
        self.until(
            "the text is checked",
            lambda: self.one(
                "return !document.querySelector('#strip-told').classList.contains('waiting')"
                " && document.querySelector('#strip-told .coverage') !== null"
            ),
        )

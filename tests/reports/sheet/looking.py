"""What a test of a page asks a browser: what is seen, what lies outside its place, where the keyboard goes."""

from __future__ import annotations

from typing import Any, Final

from tests.reports.sheet.browser import Browser

_HEADINGS: Final = """
return [...document.querySelectorAll("h1, h2, h3, h4, h5, caption, figcaption")]
  .filter(each => !each.matches(".hidden"))
  .map(each => {
    const box = each.getBoundingClientRect();
    const seen = each.checkVisibility({opacityProperty: true, visibilityProperty: true})
      && box.width > 20 && box.height > 8 && box.left >= 0 && box.right <= document.documentElement.clientWidth + 1;
    return {words: each.innerText, seen: seen};
  });
"""


def unseen_headings(at: Browser) -> list[str]:
    """The headings of sections, tables and pictures that are empty, without room, or not to be seen."""
    found = at.run(_HEADINGS)
    assert len(found) > 1, "no heading was looked at"
    return [str(each["words"]) for each in found if not each["seen"] or not str(each["words"]).strip()]


# A text that runs out of its cell lies over the next one, and two amounts may read as one.
_SPILLED: Final = """
const cells = "td, th, dd, dt, li, caption, figcaption, h1, h2, h3, h4, h5, p, summary, legend, svg";
const found = [];
let looked = 0;
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let node = walker.nextNode(); node; node = walker.nextNode()) {
  const parent = node.parentElement, cell = parent.closest(cells);
  if (!cell || !node.data.trim() || parent.closest(".hidden, .skip, thead, title, desc")) continue;
  if (!parent.checkVisibility()) continue;
  const box = cell.getBoundingClientRect();
  // a picture may be wider than the page where it has a box of its own to be moved in; see pictures_moved
  const edge = cell.matches("svg") ? Infinity : document.documentElement.clientWidth;
  looked += 1;
  for (const word of node.data.matchAll(/\\S+/g)) {
    const range = document.createRange();
    range.setStart(node, word.index);
    range.setEnd(node, word.index + word[0].length);
    let outside = 0;
    for (const line of range.getClientRects()) {
      if (line.width === 0) continue;
      outside = Math.max(outside, line.right - Math.min(box.right, edge), box.left - line.left);
      if (cell.matches("svg")) outside = Math.max(outside, line.bottom - box.bottom, box.top - line.top);
    }
    if (outside > 1.5) {
      found.push(node.data.trim().slice(0, 60) + " in " + cell.tagName + " " + cell.className + ": "
        + outside.toFixed(1));
      break;
    }
  }
}
return [looked, found];
"""


def spilled(at: Browser) -> list[str]:
    """Texts that run out of the page, or of the cell, the item, the heading or the picture that holds them."""
    looked, found = at.run(_SPILLED)
    assert looked > 5, "no text was looked at"
    return list(found)


_LETTERS: Final = """
return [...document.querySelectorAll("h1, h2, h3, h4, h5, caption, p, li, dt, dd, tbody th, td, label")]
  .filter(each => !each.matches(".none, .hidden, .skip") && each.innerText.trim())
  .map(each => {
    const box = each.getBoundingClientRect();
    return [each.innerText.split(/\\s+/).join(" "), each.checkVisibility() && box.width > 8 && box.height > 8];
  });
"""


def texts_seen(at: Browser) -> list[tuple[str, bool]]:
    """The texts of the page, each with whether it can be seen. The dash of an empty cell may go."""
    return [(str(text), bool(seen)) for text, seen in at.run(_LETTERS)]


def sideways(at: Browser) -> int:
    """By how many pixels the page could be scrolled sideways; 0 where it can't."""
    return int(at.run("const s = document.scrollingElement; return s.scrollWidth - s.clientWidth"))


_TALL: Final = """
const most = arguments[0];
return [...document.querySelectorAll("tr, svg, .blanks li, .tick-list li, figcaption")]
  .filter(each => each.checkVisibility())
  .map(each => ({
    what: each.tagName + " " + each.className + " " + (each.textContent || "").trim().slice(0, 60),
    height: each.getBoundingClientRect().height,
    whole: getComputedStyle(each.closest(".drawing") || each).breakInside.startsWith("avoid"),
  }))
  .filter(each => each.height > most || !each.whole);
"""


def cut_on_paper(at: Browser, height: float) -> list[str]:
    """The rows, pictures and blanks that may be cut at the edge of a page whose text is so many pixels high."""
    return [f"{each['what']}: {each['height']:.0f} px" for each in at.run(_TALL, height)]


# ---- the keyboard

_WATCH: Final = """
window.walked = [];
document.addEventListener("focusin", event => {
  const at = event.target, shown = at.matches("input") ? at.nextElementSibling : at;
  const style = getComputedStyle(shown), box = shown.getBoundingClientRect();
  window.walked.push({
    name: at.id || at.getAttribute("href") || at.className,
    marked: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2
      && style.outlineColor !== getComputedStyle(document.body).backgroundColor,
    room: box.width > 4 && box.height > 4,
  });
});
return [...document.querySelectorAll("a[href], input, summary, button, [tabindex]")].map(
  each => ({name: each.id || each.getAttribute("href") || each.className,
            stop: !each.matches("input[type=radio]:not(:checked)")}));
"""


def walked(at: Browser) -> tuple[list[str], list[dict[str, Any]]]:
    """What the keyboard must come to on the page that is open, in order, and what it came to by Tab alone.

    Of a group of choices the one that is chosen is a stop; arrows go to the others.
    """
    from selenium.webdriver import ActionChains, Keys

    wanted = [str(each["name"]) for each in at.run(_WATCH) if each["stop"]]
    ActionChains(at.driver).send_keys(Keys.TAB * len(wanted)).perform()
    return wanted, list(at.run("return window.walked"))


_MOVED: Final = """
return [...document.querySelectorAll(".drawing")].map(each => {
  each.focus();
  const svg = each.firstElementChild.getBoundingClientRect(), all = each.scrollWidth - each.clientWidth;
  const wide = svg.right > document.documentElement.clientWidth;
  each.scrollLeft = all;
  const end = each.firstElementChild.getBoundingClientRect().right;
  each.scrollLeft = 0;
  return {wide, reached: end <= document.documentElement.clientWidth + 1, focused: document.activeElement === each};
});
"""


def pictures_out_of_reach(at: Browser) -> int:
    """How many pictures are wider than the page and can't be moved by keyboard until all of them was seen."""
    return sum(each["wide"] and not (each["reached"] and each["focused"]) for each in at.run(_MOVED))


def press(at: Browser, *keys: str) -> None:
    """Press keys, one after the other, wherever the focus is."""
    from selenium.webdriver import ActionChains

    ActionChains(at.driver).send_keys(*keys).perform()


def rows_shown(at: Browser) -> list[str]:
    """The text of each row of the index that can be seen."""
    script = """return [...document.querySelectorAll("#documents tbody tr")]
      .filter(each => each.checkVisibility()).map(each => each.innerText)"""
    return [str(each) for each in at.run(script)]

/** What the program tells as Markdown, as elements. Only what micromark calls safe gets in, and no link that stays here. */

import { micromark } from "micromark";
import { gfmTable, gfmTableHtml } from "micromark-extension-gfm-table";

/** HTML of a Markdown text. Markup in the text is shown as text. */
export function htmlOf(markdown: string): string {
  return micromark(markdown, { extensions: [gfmTable()], htmlExtensions: [gfmTableHtml()] });
}

const OUTSIDE = /^https?:/;

/** Elements of a Markdown text. Headings begin at a level, links lead out to a window of their own or are plain text. */
export function markdownOf(markdown: string, heading = 3): HTMLElement {
  const parsed = new DOMParser().parseFromString(htmlOf(markdown), "text/html");
  for (const link of parsed.querySelectorAll("a")) {
    if (OUTSIDE.test(link.getAttribute("href") ?? "")) {
      link.target = "_blank";
      link.rel = "noopener noreferrer";
    } else link.replaceWith(...link.childNodes);
  }
  for (const image of parsed.querySelectorAll("img")) image.replaceWith(image.alt);
  for (const cell of parsed.querySelectorAll("[align]")) cell.removeAttribute("align");
  lowered(parsed, heading);
  const made = document.createElement("div");
  made.className = "markdown";
  made.append(...parsed.body.childNodes);
  return made;
}

/** Headings one below the other from a level on, so that the page's own order of headings holds. */
function lowered(parsed: Document, heading: number): void {
  const found = [...parsed.querySelectorAll("h1, h2, h3, h4, h5, h6")];
  const highest = Math.min(...found.map((each) => Number(each.tagName[1])));
  for (const each of found) {
    const level = Math.min(6, Number(each.tagName[1]) - highest + heading);
    const made = parsed.createElement(`h${level}`);
    made.append(...each.childNodes);
    each.replaceWith(made);
  }
}

/** The tray: every document as a slip with what was found in it, and the rules of the site apart. */

import { button, fill, h, heard } from "./dom";
import { type Desk, type Paper, isUnsaved, nameOf } from "./desk";
import type { LevelName, ScreenState } from "./shapes";
import { LEVELS, SHAPES, WORDS, countsTold, counted } from "./words";

/** A part of the tray: its heading and its slips, of which only those are made anew that say something else. */
class Part {
  readonly heading = h("h2", {});
  readonly list: HTMLUListElement;
  private readonly slips = new Map<string, { told: string; item: HTMLLIElement }>();
  private order = "";

  constructor(label: string) {
    this.list = h("ul", { class: "slips", "aria-label": label });
  }

  show(
    papers: readonly Paper[],
    current: Paper | null,
    isStale: (paper: Paper) => boolean,
    take: (path: string) => void,
  ): void {
    const items = papers.map((paper) => this.item(paper, paper === current, isStale(paper), take));
    const order = papers.map((each) => each.path).join("\n");
    if (order !== this.order) fill(this.list, ...items);
    this.order = order;
    const kept = new Set(papers.map((each) => each.path));
    for (const path of this.slips.keys()) if (!kept.has(path)) this.slips.delete(path);
  }

  private item(paper: Paper, isCurrent: boolean, isStale: boolean, take: (path: string) => void): HTMLLIElement {
    const told = JSON.stringify([
      isCurrent,
      isStale && !paper.look,
      paper.unreadable,
      paper.fault,
      paper.kind,
      isUnsaved(paper),
      paper.look?.counts,
      paper.look?.checks.state,
    ]);
    const known = this.slips.get(paper.path);
    if (known?.told === told) return known.item;
    const item = known?.item ?? h("li", {});
    const hadFocus = item.contains(document.activeElement);
    const made = slip(paper, isCurrent, isStale, take);
    fill(item, made);
    if (hadFocus) made.focus({ preventScroll: true });
    this.slips.set(paper.path, { told, item });
    return item;
  }
}

export class Tray {
  private readonly documents = new Part("Documents");
  private readonly rules = new Part("Rules of this site");

  constructor(
    private readonly title: HTMLElement,
    place: HTMLElement,
    private readonly take: (path: string) => void,
  ) {
    fill(place, this.documents.list, this.rules.heading, this.rules.list);
  }

  /** Shows what lies on the desk now. `isStale` says whether what is known of a paper is of an older text. */
  show(desk: Desk, isStale: (paper: Paper) => boolean): void {
    fill(this.title, ...trayTitle(desk));
    const rules = desk.sorted(true);
    this.documents.show(desk.sorted(false), desk.current, isStale, this.take);
    this.rules.heading.hidden = this.rules.list.hidden = rules.length === 0;
    this.rules.heading.textContent = `Rules of this site: ${counted(rules.length, "file")}`;
    this.rules.show(rules, desk.current, isStale, this.take);
  }
}

/** What lies on the desk in one line, with what was found in all of it. */
function trayTitle(desk: Desk): (HTMLElement | string)[] {
  const papers = desk.sorted(false);
  const rules = desk.sorted(true).length;
  const sum = (level: LevelName): number => papers.reduce((total, each) => total + (each.look?.counts[level] ?? 0), 0);
  const counts = LEVELS.map((level) =>
    h(
      "span",
      { class: `count ${level}${sum(level) ? "" : " none"}` },
      shapeOf(level),
      `\u00a0${sum(level)}`,
      heard(` ${WORDS[level]},`),
    ),
  );
  const also = rules ? `, ${counted(rules, "file")} of rules` : "";
  return [`On the desk: ${counted(papers.length, "document")}${also}`, ...(papers.length > 1 ? counts : [])];
}

function shapeOf(level: LevelName): HTMLElement {
  return h("span", { "aria-hidden": "true" }, SHAPES[level]);
}

function slip(paper: Paper, isCurrent: boolean, isStale: boolean, take: (path: string) => void): HTMLButtonElement {
  const folder = paper.path.slice(0, -nameOf(paper.path).length);
  const made = button("", () => take(paper.path), {
    class: "slip",
    "aria-current": isCurrent ? "true" : null,
    "data-path": paper.path,
    title: paper.path,
  });
  fill(
    made,
    folder ? h("span", { class: "folder" }, folder) : null,
    h("span", { class: "file" }, nameOf(paper.path)),
    h(
      "span",
      { class: "slip-foot" },
      ...countsOf(paper, isStale),
      isUnsaved(paper) ? h("span", { class: "unsaved" }, "not saved") : null,
    ),
  );
  return made;
}

/** What stands in the place of noughts where nothing was screened. */
const UNSCREENED: Readonly<Record<Exclude<ScreenState, "screened">, string>> = {
  unread: "can\u2019t be read",
  "not screened": "not screened",
  rules: "nothing wrong found",
  "no document": "no document",
};

function countsOf(paper: Paper, isStale: boolean): HTMLElement[] {
  const { look } = paper;
  if (paper.unreadable) return [h("span", { class: "untold" }, "can\u2019t be shown")];
  if (paper.fault) return [h("span", { class: "untold" }, "not checked")];
  if (look === null)
    return [
      h(
        "span",
        { class: "untold" },
        isStale ? "waits to be checked" : paper.kind === "other" ? "no document" : "not checked yet",
      ),
    ];
  const { state } = look.checks;
  const isNothing = LEVELS.every((level) => look.counts[level] === 0);
  if (state !== "screened" && isNothing) return [h("span", { class: "untold" }, UNSCREENED[state])];
  const counts = LEVELS.map((level) =>
    h(
      "span",
      { class: `count ${level}${look.counts[level] ? "" : " none"}`, "aria-hidden": "true" },
      `${SHAPES[level]}\u00a0${look.counts[level]}`,
    ),
  );
  return [...counts, heard(`: ${countsTold(look.counts)}`)];
}

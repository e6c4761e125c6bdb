/** The tray: every document as a slip with what was found in it, a choice among many, and what is no document apart. */

import { STOPPED_AT, UNFINISHED } from "./asking";
import { button, choice, fill, h, heard } from "./dom";
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
      isStale && !(isCurrent && paper.look),
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

const MANY = 6; // as many documents are found by looking; beyond, one may choose among them
const UNFOLDED = 3; // as many files beside the documents lie open without being asked for

/** Which documents are shown: all, those with a finding of a level, or those that could not be screened. */
type Wanted = "all" | LevelName | "unscreened";

const WANTED: readonly (readonly [wanted: Wanted, label: string])[] = [
  ["all", "all documents"],
  ["reject", `${SHAPES.reject} with something to reject`],
  ["query", `${SHAPES.query} with a query`],
  ["note", `${SHAPES.note} with a note`],
  ["unscreened", "not screened"],
];

/** Whether a document is among those that are wanted. */
function isWanted(paper: Paper, wanted: Wanted): boolean {
  if (wanted === "all") return true;
  if (wanted === "unscreened") return paper.look?.checks.state !== "screened";
  return (paper.look?.counts[wanted] ?? 0) > 0;
}

export class Tray {
  private readonly documents = new Part("Documents");
  private readonly rules = new Part("Rules of this site");
  private readonly others = new Part("Other files");
  private readonly rulesFold = folded(this.rules);
  private readonly othersFold = folded(this.others);
  private readonly shownCount = h("span", { class: "aside" });
  private readonly choosing: HTMLElement;
  private wanted: Wanted = "all";

  constructor(
    private readonly title: HTMLElement,
    place: HTMLElement,
    private readonly take: (path: string) => void,
    changed: () => void,
  ) {
    const chosen = choice("Show", WANTED, this.wanted, (value) => {
      this.wanted = WANTED.find(([each]) => each === value)?.[0] ?? "all";
      changed();
    });
    this.choosing = h("div", { class: "choosing" }, chosen, this.shownCount);
    fill(place, this.choosing, this.documents.list, this.rulesFold, this.othersFold);
  }

  /** The documents that are shown: those wanted, and the one in hand. */
  private chosen(desk: Desk): Paper[] {
    const all = desk.documents;
    if (all.length <= MANY) return all;
    return all.filter((each) => each === desk.current || isWanted(each, this.wanted));
  }

  /** All that one may step through, in the order of the tray. */
  inOrder(desk: Desk): Paper[] {
    return [...this.chosen(desk), ...desk.sorted(true), ...desk.others];
  }

  /** Shows what lies on the desk now. `isStale` says whether what is known of a paper is of an older text. */
  show(desk: Desk, isStale: (paper: Paper) => boolean): void {
    fill(this.title, ...trayTitle(desk, isStale));
    const chosen = this.chosen(desk);
    const count = desk.documents.length;
    this.choosing.hidden = count <= MANY;
    this.shownCount.textContent = this.wanted === "all" ? "" : `${chosen.length} of ${count}, the one in hand among them`;
    this.documents.show(chosen, desk.current, isStale, this.take);
    this.part(this.rules, this.rulesFold, desk.sorted(true), "Rules of this site", desk, isStale);
    this.part(this.others, this.othersFold, desk.others, "Other files, in which nothing is checked", desk, isStale);
  }

  private part(
    part: Part,
    fold: HTMLDetailsElement,
    papers: readonly Paper[],
    label: string,
    desk: Desk,
    isStale: (paper: Paper) => boolean,
  ): void {
    if (fold.hidden && papers.length > 0) fold.open = papers.length <= UNFOLDED;
    fold.hidden = papers.length === 0;
    const counts = papers.length > 0 && part === this.rules ? sums(papers, true) : [];
    fill(part.heading, `${label}: ${counted(papers.length, "file")} `, ...counts);
    part.show(papers, desk.current, isStale, this.take);
  }
}

/** A part that can be folded away; hidden until there is something in it. */
function folded(part: Part): HTMLDetailsElement {
  return h("details", { class: "more-slips", hidden: true }, h("summary", {}, part.heading), part.list);
}

/** How much was found in some papers, level by level; levels without a finding are left out where it is said. */
function sums(papers: readonly Paper[], onlyFound = false): HTMLElement[] {
  const sum = (level: LevelName): number => papers.reduce((total, each) => total + (each.look?.counts[level] ?? 0), 0);
  return LEVELS.filter((level) => !onlyFound || sum(level) > 0).map((level) =>
    h(
      "span",
      { class: `count ${level}${sum(level) ? "" : " none"}` },
      shapeOf(level),
      `\u00a0${sum(level)}`,
      heard(` ${WORDS[level]},`),
    ),
  );
}

/** What lies on the desk in one line, with what was found in all of it. */
function trayTitle(desk: Desk, isStale: (paper: Paper) => boolean): (HTMLElement | string)[] {
  const papers = desk.documents;
  const rules = desk.sorted(true).length;
  const others = desk.others.length;
  const also = (rules ? `, ${counted(rules, "file")} of rules` : "") + (others ? `, ${others} other` : "");
  const first = papers.filter((each) => each.look === null && isStale(each)).length;
  const again = papers.filter((each) => each !== desk.current && each.look !== null && isStale(each)).length;
  const still = [
    papers.length > MANY && first ? h("span", { class: "still" }, `${first} still to be checked`) : null,
    again ? h("span", { class: "still" }, `${again} being checked again`) : null,
  ].filter((each) => each !== null);
  return [
    `On the desk: ${counted(papers.length, "document")}${also}`,
    ...(papers.length > 1 ? [...sums(papers), ...still] : []),
  ];
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
      isStale && paper.look && !isCurrent ? h("span", { class: "untold" }, "being checked again") : null, // the strip tells the current one
      isUnsaved(paper) ? h("span", { class: "unsaved" }, "not saved") : null,
    ),
  );
  return made;
}

/** What stands in the place of noughts where nothing was screened. */
const UNSCREENED: Readonly<Record<Exclude<ScreenState, "screened">, string>> = {
  unread: "can\u2019t be read",
  "not screened": "not screened",
  rules: "no fault found in it",
  "no document": "not an order",
};

/** What a slip says of a document that is left out. */
const UNCHECKED: ReadonlyMap<string, string> = new Map([
  [UNFINISHED, "not checked: takes too long"],
  [STOPPED_AT, "not checked: the program stopped at it"],
]);

function countsOf(paper: Paper, isStale: boolean): HTMLElement[] {
  const { look } = paper;
  if (paper.unreadable) return [h("span", { class: "untold" }, "can\u2019t be shown")];
  if (paper.fault) return [h("span", { class: "untold" }, UNCHECKED.get(paper.fault) ?? "not checked")];
  if (look === null)
    return [
      h(
        "span",
        { class: "untold" },
        isStale ? "waits to be checked" : paper.kind === "other" ? "not an order" : "not checked yet",
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

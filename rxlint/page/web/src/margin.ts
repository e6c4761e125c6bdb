/**
 * The margin beside the order: notes at the height of their lines, with threads to them. On a narrow screen the notes stand
 * below the text, in its order.
 */

import { button, fill, h, heard, svg } from "./dom";
import type { Editor } from "./editor";
import type { Named } from "./marks";
import { type Answering, note } from "./notes";
import type { FindingCard } from "./shapes";
import { LEVELS, SHAPES, WORDS, counted } from "./words";

interface Slip {
  name: string;
  card: FindingCard;
  element: HTMLElement;
}

const GAP = 8; // pixels between two notes
const HEADING = 22; // pixels from a note's upper edge to where its thread begins
const INDEXED = 6; // as many notes are named above the text
const THREAD = 420; // pixels: a longer thread leads nowhere that the eye can follow, and many of them hide one another
const CROWDED = 12; // more notes than this stand as single lines but for the one in hand, or none would stand near its line
const OPEN_AT_ONCE = 2; // as many notes are open without being asked for

/** Heights at which slips stand: each as near to its line as the others let it, the one in hand exactly there. */
export function heights(wanted: readonly number[], tall: readonly number[], inHand: number): number[] {
  const tops: number[] = [];
  let free = 0;
  wanted.forEach((want, at) => {
    tops[at] = Math.max(free, want);
    free = (tops[at] ?? 0) + (tall[at] ?? 0) + GAP;
  });
  if (inHand < 0) return tops;
  let under = Math.max(0, wanted[inHand] ?? 0);
  for (let at = inHand; at >= 0; at -= 1) {
    tops[at] = Math.min(tops[at] ?? 0, under);
    under = (tops[at] ?? 0) - (tall[at - 1] ?? 0) - GAP;
  }
  free = 0;
  return tops.map((top, at) => {
    const now = Math.max(free, at > inHand ? (wanted[at] ?? 0) : top);
    free = now + (tall[at] ?? 0) + GAP;
    return now;
  });
}

export class Margin {
  private slips: Slip[] = [];
  private readonly open = new Map<string, boolean>();
  private told = "";
  private inHand = "";
  private readonly wide = matchMedia("(min-width: 62rem)");

  constructor(
    private readonly place: HTMLElement,
    private readonly settled: HTMLElement,
    private readonly index: HTMLElement,
    private readonly threads: SVGSVGElement,
    private readonly editor: Editor,
    private readonly answering: Answering,
  ) {
    this.wide.addEventListener("change", () => this.lay());
    new ResizeObserver(() => this.lay()).observe(place);
  }

  /** Shows the findings of a document. What was open stays open, what had the focus keeps it. */
  show(path: string, named: Named): void {
    const told = JSON.stringify([path, named]);
    if (told === this.told) return;
    this.told = told;
    const focus = this.focused();
    const inOrder = [...named].sort(
      ([, one], [, other]) => one.at.line - other.at.line || one.at.column - other.at.column,
    );
    const few = named.filter(([, card]) => !card.settled).length <= OPEN_AT_ONCE;
    const answering: Answering = {
      ...this.answering,
      toggled: (key, open) => {
        this.open.set(key, open);
        this.take(key);
      },
    };
    const made = inOrder.map(([name, card]): Slip => {
      const isOpen = this.open.get(card.key) ?? (few && !card.settled);
      return { name, card, element: note(name, card, path, isOpen, answering) };
    });
    for (const { card, element } of made) element.addEventListener("focusin", () => this.take(card.key));
    this.slips = made.filter(({ card }) => !card.settled);
    this.place.classList.toggle("crowded", this.slips.length > CROWDED);
    this.mark();
    fill(this.place, ...this.slips.map(({ element }) => element));
    this.showIndex();
    this.showSettled(made.filter(({ card }) => card.settled));
    this.refocus(focus);
    this.lay();
  }

  /** A way to the notes from the top of the text, the gravest first. */
  private showIndex(): void {
    this.index.hidden = this.slips.length === 0;
    const gravest = [...this.slips].sort(
      (one, other) => LEVELS.indexOf(one.card.level) - LEVELS.indexOf(other.card.level),
    );
    const ways = gravest.slice(0, INDEXED).map(({ name, card }) => {
      const shape = h("span", { class: `shape ${card.level}`, "aria-hidden": "true" }, SHAPES[card.level]);
      const way = button("", () => this.enter(({ key }) => key === card.key), { class: "plain" });
      fill(way, shape, ` ${name}, line ${card.at.line}`, heard(`, ${WORDS[card.level]}`));
      return way;
    });
    const left = this.slips.length - ways.length;
    fill(this.index, ...ways, left > 0 ? h("span", {}, `and ${left} more`) : null);
  }

  private showSettled(slips: readonly Slip[]): void {
    this.settled.hidden = slips.length === 0;
    const wasOpen = this.settled.querySelector("details")?.open === true;
    const summary = h(
      "summary",
      {},
      `${counted(slips.length, "settled note")}: somebody answers for it, or it is known from before`,
    );
    fill(this.settled, h("details", { open: wasOpen }, summary, ...slips.map(({ element }) => element)));
  }

  private focused(): { key: string; what: string } | null {
    const active = document.activeElement;
    const key = active?.closest<HTMLElement>("[data-key]")?.dataset["key"];
    if (!(active instanceof HTMLElement) || key === undefined || !this.place.contains(active)) return null;
    return { key, what: active.dataset["focus"] ?? "open" };
  }

  private refocus(was: { key: string; what: string } | null): void {
    if (was === null) return;
    const slip = this.slips.find(({ card }) => card.key === was.key);
    const target =
      slip?.element.querySelector<HTMLElement>(`[data-focus="${was.what}"]`) ?? slip?.element.querySelector("button");
    if (target) target.focus({ preventScroll: true });
    else this.editor.view.focus();
  }

  /** Takes a note in hand: it stands exactly at its line, and the line is marked. */
  take(key: string): void {
    if (this.inHand === key) {
      this.lay();
      return;
    }
    this.inHand = key;
    this.mark();
    const slip = this.slips.find(({ card }) => card.key === key);
    if (slip) this.editor.point(slip.card.at);
    this.lay();
  }

  /** The caret went to a line: its first note is in hand. */
  caret(line: number): void {
    const slip = this.slips.find(({ card }) => card.at.line <= line && line <= card.at.end_line);
    if (slip && slip.card.key !== this.inHand) {
      this.inHand = slip.card.key;
      this.mark();
      this.lay();
    }
  }

  /** Shows which note is in hand. Its height may change by that, so this comes before heights are measured. */
  private mark(): void {
    const isCrowded = this.slips.length > CROWDED;
    for (const { card, element } of this.slips) {
      const isInHand = card.key === this.inHand;
      element.classList.toggle("in-hand", isInHand);
      if (isCrowded && !isInHand) this.close(card.key, element);
    }
  }

  /** Closes a note, where it is open. */
  private close(key: string, element: HTMLElement): void {
    const opener = element.querySelector(".note-open");
    if (opener?.getAttribute("aria-expanded") !== "true") return;
    opener.setAttribute("aria-expanded", "false");
    element.querySelector<HTMLElement>(".note-body")?.setAttribute("hidden", "");
    this.open.set(key, false);
  }

  /** Opens the note at a line, or by its key, and moves the focus there. */
  enter(wanted: (card: FindingCard) => boolean, focus: "open" | "apply" = "open"): boolean {
    const slip = this.slips.find(({ card }) => wanted(card));
    if (slip === undefined) return false;
    const opener = slip.element.querySelector<HTMLButtonElement>(".note-open");
    if (opener?.getAttribute("aria-expanded") === "false") opener.click();
    this.take(slip.card.key);
    const apply = focus === "apply" ? slip.element.querySelector<HTMLButtonElement>(".apply") : null;
    const target = apply ?? opener;
    target?.focus({ preventScroll: true });
    this.bringIntoView(slip);
    return true;
  }

  /** With a margin the line is brought into view, and its note stands beside it; else the note itself. */
  private bringIntoView({ card, element }: Slip): void {
    if (this.wide.matches) {
      this.editor.bringIntoView(card.at);
      return;
    }
    // Lines that come into view are measured and may turn out higher than was thought, so once is not enough.
    let left = 3;
    const again = (): void => {
      element.scrollIntoView({ block: "start" });
      left -= 1;
      if (left > 0) requestAnimationFrame(again);
    };
    again();
  }

  /** The note after, or before, the one in hand. False where there is none at all. */
  step(by: 1 | -1, line: number): boolean {
    if (this.slips.length === 0) return false;
    const at = this.slips.findIndex(({ card }) => card.key === this.inHand);
    const next = at >= 0 ? at + by : this.slips.findIndex(({ card }) => card.at.line >= line);
    const slip = this.slips[(Math.max(next, at < 0 ? 0 : next) + this.slips.length) % this.slips.length];
    return slip !== undefined && this.enter((card) => card.key === slip.card.key);
  }

  /** Lays the notes at their lines. */
  lay(): void {
    this.editor.view.requestMeasure({
      key: this,
      read: () => this.measured(),
      write: (found) => this.laid(found),
    });
  }

  private measured(): { tops: number[]; lines: number[]; tall: number[]; height: number } | null {
    if (!this.wide.matches) return null;
    const origin = this.place.getBoundingClientRect().top;
    const lines = this.slips.map(({ card }) => {
      const { top, height } = this.editor.lineTop(card.at);
      return top - origin + height / 2;
    });
    const tall = this.slips.map(({ element }) => element.offsetHeight);
    const inHand = this.slips.findIndex(({ card }) => card.key === this.inHand);
    const tops = heights(
      lines.map((line) => line - HEADING),
      tall,
      inHand,
    );
    const last = tops.length - 1;
    return { tops, lines, tall, height: last < 0 ? 0 : (tops[last] ?? 0) + (tall[last] ?? 0) + GAP };
  }

  private laid(found: ReturnType<Margin["measured"]>): void {
    this.threads.replaceChildren();
    this.place.style.minHeight = found ? `${found.height}px` : "";
    this.slips.forEach(({ card, element }, at) => {
      const inHand = card.key === this.inHand;
      element.style.top = found ? `${found.tops[at] ?? 0}px` : "";
      if (!found) return;
      const from = Math.max(0, found.tops[at] ?? 0) + HEADING;
      const to = found.lines[at] ?? 0;
      if (!inHand && Math.abs(to - from) > THREAD) return;
      this.threads.append(
        svg("path", {
          d: `M0 ${from} C 16 ${from} 10 ${to} 28 ${to}`,
          class: `thread ${card.level}${inHand ? " in-hand" : ""}`,
        }),
      );
    });
  }
}

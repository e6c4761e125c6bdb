/** Findings as notes: what is the matter, how it was worked out, what would restore it. */

import { button, h } from "./dom";
import type { Correction, Elsewhere, FindingCard, Span, TextEdit } from "./shapes";
import { MEANINGS, SHAPES, WORDS } from "./words";

/** What a note may ask of the page. */
export interface Answering {
  goTo(path: string, at: Span): void;
  /** A line as it is written; null where the file can't be shown. */
  lineText(path: string, line: number): string | null;
  /** Absent where the text can't be changed from here. */
  apply?: (edits: readonly TextEdit[], what: string) => void;
  rule(id: string): void;
  toggled(key: string, open: boolean): void;
}

/** The level in word and shape, framed as on the printed sheet. */
export function levelTag(card: Pick<FindingCard, "level">): HTMLElement {
  const { level } = card;
  return h(
    "span",
    { class: `level ${level}` },
    h("span", { class: "shape", "aria-hidden": "true" }, SHAPES[level]),
    ` ${WORDS[level]}`,
  );
}

function linesTold(at: Span): string {
  return at.end_line > at.line ? `lines ${at.line} to ${at.end_line}` : `line ${at.line}`;
}

/** A note. `path` is the document's, so that places in other files are told with their file. */
export function note(
  name: string,
  card: FindingCard,
  path: string,
  isOpen: boolean,
  answering: Answering,
): HTMLElement {
  const id = `note-${name}`;
  const body = h("div", { class: "note-body", id: `${id}-more`, hidden: !isOpen }, ...bodyOf(card, path, answering));
  const opener = h(
    "button",
    {
      type: "button",
      class: "note-open",
      "aria-expanded": String(isOpen),
      "aria-controls": `${id}-more`,
      "data-focus": "open",
      onclick: () => {
        const open = opener.getAttribute("aria-expanded") !== "true";
        opener.setAttribute("aria-expanded", String(open));
        body.hidden = !open;
        answering.toggled(card.key, open);
      },
    },
    h("span", { class: "name" }, name),
    " ",
    levelTag(card),
    " ",
    h("span", { class: "message" }, card.message),
  );
  const where = button(linesTold(card.at), () => answering.goTo(path, card.at), {
    class: "place",
    "data-focus": "place",
  });
  return h(
    "article",
    {
      class: `finding ${card.level}${card.settled ? " settled" : ""}`,
      id,
      "data-key": card.key,
      "aria-labelledby": `${id}-title`,
    },
    h("h3", { id: `${id}-title` }, opener),
    h(
      "p",
      { class: "note-foot" },
      where,
      " ",
      card.title && card.title !== card.message ? h("span", { class: "title" }, card.title) : MEANINGS[card.level],
    ),
    body,
  );
}

function bodyOf(card: FindingCard, path: string, answering: Answering): HTMLElement[] {
  const rows: HTMLElement[] = [];
  if (card.related.length) rows.push(row("With", ...card.related.map((each) => relatedOf(each, path, answering))));
  if (card.calculation.length)
    rows.push(row("Worked out", ...card.calculation.map((each) => h("p", { class: "sum" }, each))));
  if (card.corrections.length) rows.push(row(card.correction_label, correctionsOf(card, answering)));
  if (card.sound.length) rows.push(row("Sound with", ...card.sound.map((each) => h("p", {}, each))));
  for (const { label, text } of card.more) rows.push(row(capital(label), h("p", {}, text)));
  const found: HTMLElement[] = rows.length ? [h("dl", {}, ...rows)] : [];
  if (card.because || card.source || card.rule !== undefined) found.push(whyOf(card, answering));
  return found;
}

function row(label: string, ...told: readonly HTMLElement[]): HTMLElement {
  return h("div", {}, h("dt", {}, label), h("dd", {}, ...told));
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Another place: the way there, what is written there, and what is said of it unless that is all that is said. */
function relatedOf(other: Elsewhere, path: string, answering: Answering): HTMLElement {
  const where = other.path === path ? linesTold(other.at) : `${other.path}, ${linesTold(other.at)}`;
  const written = answering.lineText(other.path, other.at.line)?.trim().replace(/\s+/g, " ") ?? "";
  const isPlain = written !== "" && / stated here$/.test(other.message);
  return h(
    "div",
    { class: "related" },
    button(where, () => answering.goTo(other.path, other.at), { class: "place" }),
    h(
      "span",
      {},
      written ? h("span", { class: "written" }, written) : null,
      isPlain ? null : h("span", { class: "aside" }, other.message),
    ),
  );
}

/** Corrections as a list, none before another; a button where the text can be changed at once. */
function correctionsOf(card: FindingCard, answering: Answering): HTMLElement {
  const items = card.corrections.map((each, at) =>
    h("li", {}, h("span", { class: "correction" }, each.text), " ", applyOf(each, at, answering)),
  );
  return h("ul", { class: "corrections" }, ...items);
}

function applyOf({ text, edits }: Correction, at: number, answering: Answering): HTMLElement | null {
  const { apply } = answering;
  if (edits.length === 0 || apply === undefined) return null;
  return button("Apply", () => apply(edits, text), {
    class: "apply",
    "data-focus": `apply-${at}`,
    "aria-label": `Apply: ${text}`,
  });
}

function whyOf(card: FindingCard, answering: Answering): HTMLElement {
  const { rule } = card;
  return h(
    "details",
    { class: "why" },
    h("summary", {}, "Why and source"),
    card.because ? h("p", {}, card.because) : null,
    card.source ? h("p", { class: "source" }, `Source: ${card.source}`) : null,
    rule !== undefined
      ? h(
          "p",
          { class: "rule" },
          `Rule ${rule}. `,
          button("The rule\u2019s page", () => answering.rule(rule), { class: "plain" }),
        )
      : null,
  );
}

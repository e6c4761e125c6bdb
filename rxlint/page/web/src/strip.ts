/** The strip that never leaves the screen: what was found, how much was checked, and how much could not be. */

import { button, fill, h } from "./dom";
import type { LevelName, Look } from "./shapes";
import { LEVELS, MEANINGS, NO_APPROVAL, SHAPES, counted } from "./words";

export interface StripActs {
  level(level: LevelName): void;
  unchecked(): void;
}

const NAMES: Readonly<Record<LevelName, readonly [one: string, many: string]>> = {
  reject: ["to reject", "to reject"],
  query: ["query", "queries"],
  note: ["note", "notes"],
};

/** What the strip says of a look; `waiting` says that the text has changed since. */
export function showStrip(place: HTMLElement, look: Look | null, why: string, waiting: boolean, acts: StripActs): void {
  markWaiting(place, waiting && look !== null);
  if (look === null) {
    fill(place, h("p", { class: "unchecked-yet" }, why), h("p", { class: "no-approval" }, NO_APPROVAL));
    return;
  }
  // Where nothing was screened, noughts would look like an outcome.
  const isTold = look.checks.state === "screened" || LEVELS.some((level) => look.counts[level] > 0);
  const counts = isTold ? LEVELS.map((level) => countOf(level, look.counts[level], acts)) : [];
  const settled = look.counts.settled ? h("span", { class: "settled-count" }, `${look.counts.settled} settled`) : null;
  fill(
    place,
    counts.length
      ? h("div", { class: "counts", role: "group", "aria-label": "Findings by level" }, ...counts, settled)
      : null,
    h("div", { class: "coverage", role: "group", "aria-label": "How much was checked" }, ...coverageOf(look, acts)),
    h("p", { class: "again" }, "Of the text as it was. It is being checked again."),
    h("p", { class: "no-approval" }, NO_APPROVAL),
  );
}

const UNNOTICED_MS = 400; // below, words that come and go would only trouble the eye
let timer: ReturnType<typeof setTimeout> | undefined;

/** Marks what is shown as that of an older text; where it stays so for long, words say it. */
function markWaiting(place: HTMLElement, waiting: boolean): void {
  place.classList.toggle("waiting", waiting);
  if (waiting) timer ??= setTimeout(() => place.classList.add("long"), UNNOTICED_MS);
  else {
    clearTimeout(timer);
    timer = undefined;
    place.classList.remove("long");
  }
}

function countOf(level: LevelName, count: number, acts: StripActs): HTMLElement {
  const [one, many] = NAMES[level];
  const told = [
    h("span", { class: "shape", "aria-hidden": "true" }, SHAPES[level]),
    " ",
    h("strong", {}, String(count)),
    ` ${count === 1 ? one : many}`,
  ];
  if (count === 0) return h("span", { class: `count ${level} none`, title: MEANINGS[level] }, ...told);
  const made = button("", () => acts.level(level), { class: `count ${level}`, title: MEANINGS[level] });
  fill(made, ...told);
  return made;
}

function coverageOf({ checks }: Look, acts: StripActs): HTMLElement[] {
  if (checks.state !== "screened") return [h("span", { class: "untold" }, checks.told)];
  const made = h("span", { class: "made" });
  const wanting = h("span", { class: "wanting" });
  made.style.flexGrow = String(checks.made);
  wanting.style.flexGrow = String(checks.wanting + checks.failed);
  const told: HTMLElement[] = [
    h("span", { class: "bar", "aria-hidden": "true" }, made, wanting),
    h("span", { class: "made-told" }, `${counted(checks.made, "check")} made`),
    checks.wanting
      ? button(`${checks.wanting} could not be made`, () => acts.unchecked(), { class: "plain wanting-told" })
      : h("span", { class: "wanting-told" }, "0 could not be made"),
  ];
  if (checks.failed)
    told.push(
      h("strong", { class: "failed-told" }, `${counted(checks.failed, "check")} failed: a fault of this program`),
    );
  return told;
}

/** What every view may use of the page. */

import { type Asking, Superseded, Unanswered } from "./asking";
import type { Desk, Paper } from "./desk";
import { fill, h } from "./dom";
import type { Span } from "./shapes";

export interface Context {
  asking: Asking;
  desk: Desk;
  goTo(path: string, at: Span): void;
  lineText(path: string, line: number): string | null;
  rule(id: string): void;
  say(text: string): void;
}

/** The whole of one line, for places that are told by their line alone. */
export function lineSpan(line: number): Span {
  return { line, column: 1, end_line: line, end_column: 1 };
}

/** A notice in the place of what can't be shown. */
export function notice(place: Element, ...told: readonly (string | Node)[]): void {
  fill(
    place,
    h("div", { class: "notice" }, ...told.map((each) => (typeof each === "string" ? h("p", {}, each) : each))),
  );
}

/** The document in hand, or words about why there is none to show. */
export function documentInHand(desk: Desk): Paper | string {
  const { current } = desk;
  if (current === null) return "There is no document on the desk.";
  if (current.unreadable) return current.unreadable;
  if (current.kind !== "document")
    return `${current.path} is no order and no template, so there is nothing to show here. Choose a document on the desk.`;
  if (current.text?.trim() === "")
    return "Nothing is written yet. Write an order under \u201cText\u201d, or lay one on the desk.";
  return current;
}

/** Shows an answer when it comes; while it is waited for, and where there is none, it says so. */
export async function showAnswer<T extends object | null>(
  { asking }: Context,
  place: HTMLElement,
  [name, given]: readonly [name: string, given: Record<string, unknown>],
  shown: (answer: T) => void,
): Promise<void> {
  place.setAttribute("aria-busy", "true");
  if (!asking.ready) notice(place, "The checking program is still being loaded. This is shown when it is there.");
  try {
    shown(await asking.ask<T>(name, given, { key: `view ${name}` }));
  } catch (fault) {
    if (fault instanceof Superseded) return;
    if (!(fault instanceof Unanswered)) throw fault;
    notice(place, ...fault.message.split("\n"));
  }
  place.removeAttribute("aria-busy");
}

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

/** The newest question of each place: an answer to an older one is of another document or text, and is not shown. */
const newest = new WeakMap<Element, number>();

function numberOf(place: Element): number {
  return newest.get(place) ?? 0;
}

/** A notice in the place of an answer; one that is still to come is not shown. */
export function instead(place: Element, told: string): void {
  newest.set(place, numberOf(place) + 1);
  place.removeAttribute("aria-busy");
  notice(place, told);
}

/** Shows an answer when it comes. While it is waited for, and where there is none, it says so: an older one does not stay. */
export async function showAnswer<T extends object | null>(
  { asking }: Context,
  place: HTMLElement,
  [name, given]: readonly [name: string, given: Record<string, unknown>],
  shown: (answer: T) => void,
): Promise<void> {
  const number = numberOf(place) + 1;
  newest.set(place, number);
  place.setAttribute("aria-busy", "true");
  if (asking.ready) fill(place, h("p", {}, "Being worked out."));
  else notice(place, "The checking program is still being loaded. This is shown when it is there.");
  try {
    const answer = await asking.ask<T>(name, given, { key: `view ${name}` });
    if (numberOf(place) === number) shown(answer);
  } catch (fault) {
    if (fault instanceof Superseded) return;
    if (!(fault instanceof Unanswered)) throw fault;
    if (numberOf(place) === number) notice(place, ...fault.message.split("\n"));
  }
  if (numberOf(place) === number) place.removeAttribute("aria-busy");
}

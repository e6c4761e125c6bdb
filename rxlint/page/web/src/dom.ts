/**
 * Elements with few words. Texts become text nodes, so nothing that a document says is ever read as markup, and
 * characters in them that hide or turn text round are told by their numbers.
 */

import { printable } from "./printable";

export type Child = Node | string | null | undefined | false;
/** Attributes that somebody reads. */
const READ: ReadonlySet<string> = new Set(["title", "aria-label", "data-label"]);

type Given = Record<string, string | number | boolean | null | undefined | EventListener>;

/** An element. Attributes that are null, undefined or false are left out; `on...` adds a listener. */
export function h<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  given: Given = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(given)) {
    if (typeof value === "function") made.addEventListener(name.slice(2), value);
    else if (value !== null && value !== undefined && value !== false)
      made.setAttribute(name, value === true ? "" : READ.has(name) ? printable(String(value)) : String(value));
  }
  made.append(...shown(children));
  return made;
}

function shown(children: readonly Child[]): (Node | string)[] {
  return children
    .filter((each): each is Node | string => each !== null && each !== undefined && each !== false && each !== "")
    .map((each) => (typeof each === "string" ? printable(each) : each));
}

/** Puts new children in the place of what an element holds. */
export function fill(parent: Element, ...children: readonly Child[]): void {
  parent.replaceChildren(...shown(children));
}

/** The element of the page with an id. Raises where the page lacks it, which is a fault of the page. */
export function byId<T extends HTMLElement = HTMLElement>(id: string): T {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no element ${id}`);
  return found as T;
}

/** A button that does something. It never submits a form. */
export function button(text: string, act: () => void, given: Given = {}): HTMLButtonElement {
  return h("button", { type: "button", onclick: () => act(), ...given }, text);
}

/** Text for those who hear the page. */
export function heard(text: string): HTMLElement {
  return h("span", { class: "heard" }, text);
}

const SVG = "http://www.w3.org/2000/svg";

/** An element of a drawing. */
export function svg(tag: string, given: Record<string, string | number> = {}): SVGElement {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(given)) made.setAttribute(name, String(value));
  return made;
}

/** A labelled choice from a list; the first option is chosen unless `chosen` names another. */
export function choice(
  label: string,
  options: readonly (readonly [value: string, text: string])[],
  chosen: string,
  act: (value: string) => void,
): HTMLLabelElement {
  const select = h("select", { onchange: () => act(select.value) });
  for (const [value, text] of options) select.append(h("option", { value, selected: value === chosen }, text));
  return h("label", { class: "choice" }, h("span", {}, label), select);
}

/** A table whose rows become cards on a narrow screen; the first cell of a row names it. */
export function table(
  caption: string,
  headings: readonly string[],
  rows: readonly (readonly Child[])[],
): HTMLTableElement {
  const head = h(
    "tr",
    { role: "row" },
    ...headings.map((each) => h("th", { scope: "col", role: "columnheader" }, each)),
  );
  const body = rows.map((row) =>
    h("tr", { role: "row" }, ...row.map((cell, at) => cellOf(cell, headings[at] ?? "", at === 0))),
  );
  return h(
    "table",
    { class: "cards", role: "table" },
    h("caption", {}, caption),
    h("thead", { role: "rowgroup" }, head),
    h("tbody", { role: "rowgroup" }, ...body),
  );
}

function cellOf(cell: Child, heading: string, isFirst: boolean): HTMLElement {
  const isEmpty = cell === null || cell === undefined || cell === false || cell === "";
  const inner = isEmpty ? "\u2013" : cell;
  if (isFirst) return h("th", { scope: "row", role: "rowheader" }, inner);
  return h("td", { role: "cell", "data-label": heading, class: isEmpty ? "none" : null }, inner);
}

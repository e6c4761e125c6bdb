/** Every value that follows from a document, with formula, numbers and source, as the program tells it. */

import { type Context, documentInHand, instead, notice, showAnswer } from "./context";
import { byId, fill, h, table } from "./dom";
import type { ValuesText } from "./shapes";
import type { View } from "./views";

interface Value {
  what: string;
  comes: string;
  told: string[];
}

interface Group {
  scope: string;
  values: Value[];
}

/**
 * The report read by its indentation: the file at the margin, then periods, values, what is told of each, and what closes it
 * at the margin again. Null where it is laid out otherwise.
 */
export function groupsOf(text: string): { groups: Group[]; closing: string[] } | null {
  const groups: Group[] = [];
  const closing: string[] = [];
  for (const line of text.split("\n").slice(1)) {
    const indent = /^ */.exec(line)?.[0].length ?? 0;
    const said = line.trim();
    const values = groups.at(-1)?.values;
    if (said === "") continue;
    if (indent === 0) closing.push(said);
    else if (indent === 2) groups.push({ scope: said, values: [] });
    else if (indent === 4 && values !== undefined) values.push(valueOf(said));
    else if (indent >= 6 && values?.length) values.at(-1)?.told.push(said);
    else return null;
  }
  return { groups, closing };
}

function valueOf(said: string): Value {
  const colon = said.indexOf(": ");
  return { what: colon < 0 ? said : said.slice(0, colon), comes: colon < 0 ? "" : said.slice(colon + 2), told: [] };
}

export class ValuesView implements View {
  private readonly place = byId("values-place");

  constructor(private readonly context: Context) {}

  show(): void {
    const paper = documentInHand(this.context.desk);
    if (typeof paper === "string") {
      instead(this.place, paper);
      return;
    }
    void showAnswer<ValuesText>(this.context, this.place, ["values", { path: paper.path }], ({ text }) => {
      const found = groupsOf(text);
      if (found === null) fill(this.place, h("pre", {}, text));
      else if (found.groups.length === 0)
        notice(this.place, "Nothing follows from this text by itself.", ...found.closing);
      else
        fill(
          this.place,
          ...found.groups.map(tableOf),
          ...found.closing.map((each) => h("p", { class: "caution" }, each)),
        );
    });
  }
}

function tableOf({ scope, values }: Group): HTMLElement {
  const rows = values.map(({ what, comes, told: [formula, ...rest] }) => [
    what,
    h("strong", { class: "big" }, comes),
    h("span", { class: "sum" }, formula ?? ""),
    h("span", { class: "source" }, ...rest.map((each) => h("span", { class: "aside" }, each))),
  ]);
  return table(scope, ["What", "Comes to", "Worked out", "What it is, and its source"], rows);
}

/** Two revisions: what changed in clinical words, what the change left behind, and both texts side by side. */

import { MergeView, unifiedMergeView } from "@codemirror/merge";
import { EditorState, type Extension } from "@codemirror/state";
import { EditorView, lineNumbers } from "@codemirror/view";
import { type Context, instead, lineSpan, showAnswer } from "./context";
import type { Paper } from "./desk";
import { type Child, button, byId, choice, fill, h, table } from "./dom";
import { ACTING_SHOWN, LINES, styleNonce } from "./editor";
import { columns } from "./marks";
import { note } from "./notes";
import { printable } from "./printable";
import type { ComparedText, FindingCard } from "./shapes";
import type { View } from "./views";
import { NO_APPROVAL, named } from "./words";

interface Change {
  term: string;
  kind: string;
  before: string | null;
  after: string | null;
  how: string;
  period: string | null;
  ordered: boolean;
  line: number | null;
}

interface Ends {
  low: number;
  high: number;
}

interface Derived {
  term: string;
  unit: string;
  before: Ends | null;
  after: Ends | null;
  changed: boolean;
  period: string | null;
  band: string | null;
}

interface Predicted {
  reading: string;
  before: string;
  after: string;
  source: string;
  period: string | null;
}

/** As much of `compare.schema.json` as is shown. */
interface Compared {
  documents: {
    same_document: boolean | null;
    problems: { message: string; line?: number | null }[];
    changes: Change[];
    derived: Derived[];
    predicted: Predicted[];
  }[];
  summary: { caution: string };
}

const WIDE = matchMedia("(min-width: 62rem)");

export class CompareView implements View {
  private old = "";
  private new = "";
  /** The document that was in hand when both were chosen. */
  private chosenAt = "";
  private merge: { destroy(): void } | null = null;
  private readonly choices = byId("compare-choices");
  private readonly told = byId("compare-told");
  private readonly texts = byId("compare-texts");

  constructor(private readonly context: Context) {
    WIDE.addEventListener("change", () => this.showTexts());
  }

  show(): void {
    const papers = this.context.desk.documents.filter((each) => each.text !== null && each.text.trim() !== "");
    if (papers.length < 2) {
      fill(this.choices);
      this.cleared();
      instead(this.told, "Two documents are needed to compare: lay the earlier revision on the desk too.");
      return;
    }
    this.settle(papers);
    const names = papers.map((each) => [each.path, each.path] as const);
    fill(
      this.choices,
      choice("Before", names, this.old, (value) => this.chose(value, this.new)),
      choice("Now", names, this.new, (value) => this.chose(this.old, value)),
      button("Swap", () => this.chose(this.new, this.old)),
    );
    this.showTexts();
    void showAnswer<ComparedText>(this.context, this.told, ["compare", { old: this.old, new: this.new }], (found) =>
      this.shown(found),
    );
  }

  private chose(old: string, now: string): void {
    this.old = old;
    this.new = now;
    this.chosenAt = this.context.desk.current?.path ?? "";
    this.show();
  }

  /** Where nothing fitting is chosen: the document in hand as it is now, and the one before it in the list. */
  private settle(papers: readonly Paper[]): void {
    const paths = papers.map((each) => each.path);
    const current = this.context.desk.current?.path ?? "";
    const isOfCurrent = current === this.chosenAt || current === this.old || current === this.new;
    if (isOfCurrent && paths.includes(this.old) && paths.includes(this.new)) return;
    this.chosenAt = current;
    const at = Math.max(1, paths.indexOf(current));
    this.new = paths[at] ?? "";
    this.old = paths[at - 1] ?? "";
  }

  private shown({ json, findings }: ComparedText): void {
    const compared = JSON.parse(json) as Compared;
    const parts = compared.documents.flatMap((each) => this.partsOf(each));
    const notices = compared.documents.flatMap((each) => noticesOf(each));
    const none = compared.documents.length === 0 ? [h("p", {}, "Both say the same.")] : [];
    fill(
      this.told,
      ...notices,
      ...this.notes(findings),
      ...none,
      ...parts,
      h("p", { class: "caution" }, compared.summary.caution),
    );
  }

  private notes(findings: readonly FindingCard[]): Child[] {
    if (findings.length === 0) return [h("p", {}, `The checks of changes found nothing. ${NO_APPROVAL}`)];
    const { goTo, lineText, rule } = this.context;
    const answering = { goTo, lineText, rule, toggled: () => {} };
    return named(findings, "C").map(([name, card]) => note(name, card, this.new, true, answering));
  }

  private partsOf(found: Compared["documents"][number]): Child[] {
    const parts: Child[] = [];
    const groups: readonly (readonly [string, readonly Change[]])[] = [
      ["What is ordered", found.changes.filter((each) => each.ordered && each.kind !== "reworded")],
      ["What is said of the order", found.changes.filter((each) => !each.ordered && each.kind !== "reworded")],
      ["The same in other words", found.changes.filter((each) => each.kind === "reworded")],
    ];
    for (const [caption, changes] of groups)
      if (changes.length)
        parts.push(
          table(
            caption,
            ["What", "How", "Before", "Now", "Note", "Line"],
            changes.map((each) => this.row(each)),
          ),
        );
    const moved = found.derived.filter((each) => each.changed);
    if (moved.length)
      parts.push(
        table(
          "What follows from it",
          ["What", "Before", "Now"],
          moved.map((each) => [
            scoped(each.term, each.period, each.band),
            ends(each.before, each.unit),
            ends(each.after, each.unit),
          ]),
        ),
      );
    if (found.predicted.length)
      parts.push(
        table(
          "To be expected",
          ["Reading", "Before", "Now", "Source"],
          found.predicted.map((each) => [
            scoped(each.reading, each.period, null),
            each.before,
            each.after,
            each.source,
          ]),
        ),
      );
    return parts;
  }

  private row(change: Change): Child[] {
    const { line } = change;
    const where =
      line === null
        ? ""
        : button(`line ${line}`, () => this.context.goTo(this.new, lineSpan(line)), { class: "place" });
    const after = change.after === null ? "" : h("strong", {}, change.after);
    return [scoped(change.term, change.period, null), change.kind, change.before, after, change.how, where];
  }

  private cleared(): void {
    this.merge?.destroy();
    this.merge = null;
    fill(this.texts);
  }

  private showTexts(): void {
    this.cleared();
    const old = this.context.desk.papers.get(this.old)?.text;
    const now = this.context.desk.papers.get(this.new)?.text;
    if (typeof old !== "string" || typeof now !== "string") return;
    const label = (path: string): Extension =>
      EditorView.contentAttributes.of({ "aria-label": printable(path), "aria-readonly": "true" });
    const extensions: Extension = [
      LINES,
      styleNonce(),
      lineNumbers(),
      columns,
      ACTING_SHOWN,
      EditorView.lineWrapping,
      EditorState.readOnly.of(true),
    ];
    if (WIDE.matches) {
      const heads = h(
        "div",
        { class: "compare-heads" },
        h("p", {}, `Before: ${this.old}`),
        h("p", {}, `Now: ${this.new}`),
      );
      this.texts.append(heads);
      this.merge = new MergeView({
        a: { doc: old, extensions: [extensions, label(this.old)] },
        b: { doc: now, extensions: [extensions, label(this.new)] },
        parent: this.texts,
        gutter: true,
      });
      return;
    }
    this.texts.append(
      h("p", { class: "compare-heads" }, `Struck out is what ${this.old} said, marked is what ${this.new} says.`),
    );
    const merged = unifiedMergeView({ original: old, mergeControls: false, gutter: true });
    this.merge = new EditorView({ doc: now, parent: this.texts, extensions: [extensions, label(this.new), merged] });
  }
}

function noticesOf(found: Compared["documents"][number]): Child[] {
  const told = found.problems.map((each) => each.message);
  if (found.same_document === false) told.unshift("These do not seem to be revisions of one document.");
  return told.map((each) => h("div", { class: "notice" }, h("p", {}, each)));
}

function scoped(term: string, period: string | null, band: string | null): string {
  const scope = [period ? `period ${period}` : "", band ?? ""].filter((each) => each).join(", ");
  return scope ? `${term} (${scope})` : term;
}

function ends(found: Ends | null, unit: string): string {
  if (found === null) return "";
  const told = (value: number): string => String(Number(value.toPrecision(4)));
  const range = found.low === found.high ? told(found.low) : `${told(found.low)} to ${told(found.high)}`;
  return `${range} ${unit}`.trim();
}

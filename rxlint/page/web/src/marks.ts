/** What the editor shows of findings and colours: underlines, shapes beside lines, and words for those who hear the page. */

import { type Extension, type Range, RangeSet, StateEffect, StateField, type Text } from "@codemirror/state";
import {
  Decoration,
  type DecorationSet,
  EditorView,
  GutterMarker,
  MatchDecorator,
  ViewPlugin,
  type ViewUpdate,
  WidgetType,
  gutter,
} from "@codemirror/view";
import { endsOf, offsetOf } from "./places";
import type { Coloured, FindingCard, LevelName } from "./shapes";
import { LEVELS, SHAPES, WORDS } from "./words";

export type Named = readonly (readonly [name: string, card: FindingCard])[];

interface Shown {
  under: DecorationSet;
  beside: RangeSet<GutterMarker>;
}

export const setNotes = StateEffect.define<Named>();
export const setColours = StateEffect.define<readonly Coloured[]>();
/** The stretch that a note or a related place speaks of, or none. */
export const setPointed = StateEffect.define<{ from: number; to: number } | null>();

class Shape extends GutterMarker {
  constructor(
    readonly level: LevelName,
    readonly names: string,
  ) {
    super();
  }
  override eq(other: Shape): boolean {
    return other.level === this.level && other.names === this.names;
  }
  override toDOM(): Node {
    const made = document.createElement("span");
    made.className = `shape ${this.level}`;
    made.title = `${WORDS[this.level]}: ${this.names}`;
    made.textContent = SHAPES[this.level];
    return made;
  }
}

class Heard extends WidgetType {
  constructor(readonly words: string) {
    super();
  }
  override eq(other: Heard): boolean {
    return other.words === this.words;
  }
  toDOM(): HTMLElement {
    const made = document.createElement("span");
    made.className = "heard";
    made.textContent = this.words;
    return made;
  }
}

function shownOf(text: Text, named: Named): Shown {
  const under: Range<Decoration>[] = [];
  const byLine = new Map<number, { level: LevelName; names: string[] }>();
  for (const [name, card] of named) {
    const { from, to } = endsOf(text, card.at);
    if (to > from)
      under.push(Decoration.mark({ class: `under ${card.settled ? "settled" : card.level}` }).range(from, to));
    if (card.settled) continue;
    const start = text.lineAt(from).from;
    const here = byLine.get(start) ?? { level: card.level, names: [] };
    here.names.push(name);
    if (LEVELS.indexOf(card.level) < LEVELS.indexOf(here.level)) here.level = card.level;
    byLine.set(start, here);
  }
  const beside: Range<GutterMarker>[] = [];
  for (const [start, { level, names }] of byLine) {
    beside.push(new Shape(level, names.join(", ")).range(start));
    const words = new Heard(` (${WORDS[level]}: ${names.join(", ")})`);
    under.push(Decoration.widget({ widget: words, side: 1 }).range(text.lineAt(start).to));
  }
  return { under: Decoration.set(under, true), beside: RangeSet.of(beside, true) };
}

const notes = StateField.define<Shown>({
  create: () => ({ under: Decoration.none, beside: RangeSet.empty }),
  update(shown, transaction) {
    let now = shown;
    if (transaction.docChanged)
      now = { under: shown.under.map(transaction.changes), beside: shown.beside.map(transaction.changes) };
    for (const effect of transaction.effects) if (effect.is(setNotes)) now = shownOf(transaction.newDoc, effect.value);
    return now;
  },
  provide: (field) => EditorView.decorations.from(field, (shown) => shown.under),
});

const colours = StateField.define<DecorationSet>({
  create: () => Decoration.none,
  update(shown, transaction) {
    let now = transaction.docChanged ? shown.map(transaction.changes) : shown;
    for (const effect of transaction.effects)
      if (effect.is(setColours)) now = colouredOf(transaction.newDoc, effect.value);
    return now;
  },
  provide: (field) => EditorView.decorations.from(field),
});

function colouredOf(text: Text, tokens: readonly Coloured[]): DecorationSet {
  const found: Range<Decoration>[] = [];
  for (const { line, column, end_column, kind } of tokens) {
    const from = offsetOf(text, line, column);
    const to = offsetOf(text, line, end_column);
    if (to > from) found.push(Decoration.mark({ class: `t-${kind}` }).range(from, to));
  }
  return Decoration.set(found, true);
}

const pointed = StateField.define<DecorationSet>({
  create: () => Decoration.none,
  update(shown, transaction) {
    let now = transaction.docChanged ? shown.map(transaction.changes) : shown;
    for (const effect of transaction.effects)
      if (effect.is(setPointed)) now = pointedOf(transaction.newDoc, effect.value);
    return now;
  },
  provide: (field) => EditorView.decorations.from(field),
});

function pointedOf(text: Text, at: { from: number; to: number } | null): DecorationSet {
  if (at === null) return Decoration.none;
  const found: Range<Decoration>[] = [];
  const last = text.lineAt(Math.min(at.to, text.length)).number;
  for (let number = text.lineAt(Math.min(at.from, text.length)).number; number <= last; number += 1)
    found.push(Decoration.line({ class: "pointed" }).range(text.line(number).from));
  return Decoration.set(found);
}

const gaps = new MatchDecorator({ regexp: /(?<=\S) {3,}/g, decoration: Decoration.mark({ class: "gap" }) });

/** Marks the space between columns, which a narrow screen shows narrower. */
export const columns = ViewPlugin.define(
  (view) => ({
    found: gaps.createDeco(view),
    update(update: ViewUpdate) {
      this.found = gaps.updateDeco(update, this.found);
    },
  }),
  {
    decorations: (plugin) => plugin.found,
  },
);

/** Everything that marks a text; a click on a shape tells where its line begins. */
export function marking(clicked: (offset: number) => void): Extension {
  const shapes = gutter({
    class: "shapes",
    markers: (view) => view.state.field(notes).beside,
    initialSpacer: () => new Shape("reject", ""),
    domEventHandlers: {
      mousedown(_view, line) {
        clicked(line.from);
        return true;
      },
    },
  });
  return [notes, colours, pointed, columns, shapes];
}

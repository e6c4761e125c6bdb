/** The text of a paper in CodeMirror: as little of it as writing an order needs. */

import { completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, isolateHistory, redo, undo } from "@codemirror/commands";
import { EditorSelection, EditorState, type Extension, Prec, Transaction } from "@codemirror/state";
import { EditorView, highlightSpecialChars, keymap, lineNumbers } from "@codemirror/view";
import type { Paper } from "./desk";
import { type Named, marking, setColours, setNotes, setPointed } from "./marks";
import { type Teller, offering } from "./offers";
import { endsOf } from "./places";
import { ACTING, numbered } from "./printable";
import type { Coloured, FileKind, Span, TextEdit } from "./shapes";

export interface Watching {
  /** The text was changed. */
  typed(text: string): void;
  /** The caret went to a line. */
  caret(line: number): void;
  /** Lines may stand elsewhere on the screen. */
  moved(): void;
  /** The shape beside a line was clicked. */
  clicked(line: number): void;
}

/** Style elements that the editor makes bear this; the page's policy names it, so that no other style element counts. */
export function styleNonce(): Extension {
  return EditorView.cspNonce.of(document.querySelector<HTMLMetaElement>("meta[name=style-nonce]")?.content ?? "");
}

/** The offset unit of lines: line feeds alone, so that a stray carriage return stays where it is. */
export const LINES: Extension = EditorState.lineSeparator.of("\n");

/** Characters that hide or turn text round, shown by their numbers as everywhere. */
export const ACTING_SHOWN: Extension = highlightSpecialChars({
  addSpecialChars: ACTING,
  render(code, description) {
    const made = document.createElement("span");
    made.className = "cm-specialChar";
    made.title = description ?? "";
    made.textContent = numbered(code);
    return made;
  },
});

/** Enter keeps the indentation, and indents what follows a heading: Tab is not ours, it leaves the text. */
function newLine(view: EditorView, kind: FileKind): boolean {
  const { state } = view;
  if (state.readOnly) return false;
  const heading = kind === "rules" ? /^[^\s#].*:\s*(#.*)?$/ : /^[a-z]/i;
  const changes = state.changeByRange((range) => {
    const line = state.doc.lineAt(range.from);
    const before = line.text.slice(0, range.from - line.from);
    const indent = /^[ \t]*/.exec(before)?.[0] || (heading.test(before) ? "  " : "");
    const insert = `\n${indent}`;
    const caret = range.from + insert.length;
    return { changes: { from: range.from, to: range.to, insert }, range: EditorSelection.cursor(caret) };
  });
  view.dispatch(state.update(changes, { scrollIntoView: true, userEvent: "input" }));
  return true;
}

/**
 * Scrolls lines clear of the strip that covers the window's upper edge. Margins count for a scroll alone: at other times
 * pop-ups would be hidden at the first and last lines, since they take the margins for places that can't be seen.
 */
function scrolling(covered: () => number): Extension {
  let isScrolling = false;
  return [
    EditorView.scrollHandler.of(() => {
      isScrolling = true;
      queueMicrotask(() => (isScrolling = false)); // the scroll itself follows at once
      return false;
    }),
    EditorView.scrollMargins.of(() => (isScrolling ? { top: covered() + 12, bottom: 48 } : null)),
  ];
}

/** Pixels kept between a place that is shown and the edges of what can be seen: what is said in passing lies over the lower one. */
const ROOM = 100;

export class Editor {
  readonly view: EditorView;
  private paper: Paper | null = null;
  private readonly extensions: Extension;

  constructor(parent: HTMLElement, watching: Watching, teller: Teller, covered: () => number) {
    this.extensions = [
      LINES,
      styleNonce(),
      EditorState.phrases.of({ Completions: "What may stand here" }),
      lineNumbers(),
      marking((offset) => watching.clicked(this.view.state.doc.lineAt(offset).number)),
      offering(teller),
      history(),
      ACTING_SHOWN,
      EditorView.clipboardInputFilter.of((text) => text.replaceAll("\r\n", "\n")), // some systems end lines so
      EditorView.lineWrapping,
      EditorView.contentAttributes.of({ "aria-label": "Text of the document", "aria-describedby": "editor-help" }),
      scrolling(covered),
      Prec.high(keymap.of([{ key: "Enter", run: (view) => newLine(view, this.paper?.kind ?? "other") }])),
      keymap.of([...completionKeymap, ...defaultKeymap, ...historyKeymap]),
      EditorView.updateListener.of((update) => {
        if (update.docChanged) watching.typed(update.state.doc.sliceString(0, undefined, "\n"));
        // When the focus goes to a note, that note is in hand, not the one at the caret.
        const cameBack = update.focusChanged && this.view.hasFocus;
        if (update.docChanged || update.selectionSet || cameBack) watching.caret(this.line);
        if (update.geometryChanged || update.heightChanged) watching.moved();
      }),
    ];
    this.view = new EditorView({ parent, state: this.stateOf("") });
  }

  private stateOf(text: string): EditorState {
    return EditorState.create({ doc: text, extensions: this.extensions });
  }

  /** Lays a paper out; what can be undone in it stays with it. */
  show(paper: Paper): void {
    this.keep();
    this.paper = paper;
    this.view.setState(paper.state ?? this.stateOf(paper.text ?? ""));
  }

  /** Puts the state of the paper that lies out back into it. */
  keep(): void {
    if (this.paper !== null) this.paper.state = this.view.state;
  }

  /** The line of the caret, from 1. */
  get line(): number {
    return this.view.state.doc.lineAt(this.view.state.selection.main.head).number;
  }

  notes(named: Named): void {
    this.view.dispatch({ effects: setNotes.of(named) });
  }

  colours(tokens: readonly Coloured[]): void {
    this.view.dispatch({ effects: setColours.of(tokens) });
  }

  /** Marks the lines that are spoken of, or none. */
  point(at: Span | null): void {
    this.view.dispatch({ effects: setPointed.of(at === null ? null : endsOf(this.view.state.doc, at)) });
  }

  /** Shows a place, with the caret there; takes the focus where it is asked to. */
  goTo(at: Span, focus: boolean): void {
    const { from } = endsOf(this.view.state.doc, at);
    this.view.dispatch({
      selection: { anchor: from },
      effects: [setPointed.of(endsOf(this.view.state.doc, at)), EditorView.scrollIntoView(from, { y: "center" })],
    });
    if (focus) this.view.focus();
  }

  /** Scrolls a place into the upper part of the window, so that a note beside it has room below. */
  bringIntoView(at: Span): void {
    const { from } = endsOf(this.view.state.doc, at);
    this.view.dispatch({ effects: EditorView.scrollIntoView(from, { y: "start", yMargin: ROOM }) });
  }

  /** Makes edits as one step that can be undone, and selects the first of them. Places are those of the text as it is. */
  apply(edits: readonly TextEdit[]): void {
    const text = this.view.state.doc;
    const changes = this.view.state.changes(edits.map((edit) => ({ ...endsOf(text, edit.at), insert: edit.text })));
    const first = edits.map((edit) => endsOf(text, edit.at).from).sort((one, other) => one - other)[0] ?? 0;
    this.view.dispatch({
      changes,
      selection: { anchor: changes.mapPos(first, -1) },
      annotations: [isolateHistory.of("full"), Transaction.userEvent.of("input.apply")],
      effects: EditorView.scrollIntoView(changes.mapPos(first, -1), { y: "nearest", yMargin: 2 * ROOM }),
    });
  }

  undo(): boolean {
    return undo(this.view);
  }

  redo(): boolean {
    return redo(this.view);
  }

  /** Where a place's line stands, in pixels from the top of the window, and how high one line of letters is. */
  lineTop(at: Span): { top: number; height: number } {
    const { from } = endsOf(this.view.state.doc, at);
    return { top: this.view.lineBlockAt(from).top + this.view.documentTop, height: this.view.defaultLineHeight };
  }
}

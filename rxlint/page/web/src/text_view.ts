/** The first view: the text, the notes in its margin, and what can be done with it. */

import { type Asking, Superseded, Unanswered, unlessSuperseded } from "./asking";
import type { Checking } from "./checking";
import { type Desk, type Paper, isUnsaved, nameOf } from "./desk";
import { asked } from "./dialogs";
import { button, byId, fill, h } from "./dom";
import { Editor } from "./editor";
import { Margin } from "./margin";
import { markdownOf } from "./markdown";
import { toldAt } from "./offers";
import type { Answering } from "./notes";
import type { Change, Coloured, LevelName, Offered, Span, TextEdit, Tidying, Told } from "./shapes";
import type { View } from "./views";
import { countsTold, named } from "./words";

const QUIET_MS = 1500; // as long after the last key the outcome is told to those who hear the page

export class TextView implements View {
  readonly editor: Editor;
  readonly margin: Margin;
  private toldTimer: ReturnType<typeof setTimeout> | undefined;
  private lastTold = "";
  private readonly panel = byId("told");

  constructor(
    private readonly desk: Desk,
    private readonly asking: Asking,
    private readonly checking: () => Checking,
    private readonly voice: { say(text: string): void; hear(text: string): void },
    answering: Omit<Answering, "apply" | "toggled">,
  ) {
    const teller = {
      offers: (line: number, column: number) =>
        this.askedHere<{ offers: Offered[] }>("offers", line, column).then((found) => found?.offers ?? []),
      hover: (line: number, column: number) => this.askedHere<Told>("hover", line, column),
    };
    const watching = {
      typed: (text: string) => this.typed(text),
      caret: (line: number) => this.margin?.caret(line),
      moved: () => this.margin?.lay(),
      clicked: (line: number) => void this.margin.enter((card) => card.at.line === line),
    };
    this.editor = new Editor(byId("editor"), watching, teller, () => byId("strip").offsetHeight);
    const threads = byId("threads") as unknown as SVGSVGElement;
    this.margin = new Margin(byId("notes"), byId("settled"), byId("index"), threads, this.editor, {
      ...answering,
      apply: (edits, what) => this.apply(edits, what),
      toggled: () => {},
    });
    const tellDone = (done: boolean, yes: string, no: string): void => this.voice.say(done ? yes : no);
    byId("undo").addEventListener("click", () =>
      tellDone(this.editor.undo(), "The last change was taken back.", "There is nothing to undo."),
    );
    byId("redo").addEventListener("click", () =>
      tellDone(this.editor.redo(), "The change was made again.", "There is nothing to do again."),
    );
    byId("tidy").addEventListener("click", () => this.tidy());
    byId("change").addEventListener("click", () => void this.change());
    byId("tell").addEventListener("click", () => void this.tell());
  }

  show(): void {
    this.margin.lay();
  }

  /** What the program answers of a place of the paper in hand; null where it has nothing to say. */
  private async askedHere<T extends object | null>(name: string, line: number, column: number): Promise<T | null> {
    const paper = this.desk.current;
    if (paper === null || !this.asking.ready || !this.checking().knows(paper.path)) return null;
    try {
      return await this.asking.ask<T>(name, { path: paper.path, line, column }, { key: name });
    } catch (fault) {
      if (fault instanceof Superseded || fault instanceof Unanswered) return null;
      throw fault;
    }
  }

  private typed(text: string): void {
    const paper = this.desk.current;
    if (paper === null || paper.text === text) return;
    const wasUnsaved = isUnsaved(paper);
    paper.text = text;
    this.panel.hidden = true;
    this.checking().typed(paper);
    if (wasUnsaved !== isUnsaved(paper)) this.desk.changed();
  }

  /** Lays a paper out. */
  take(paper: Paper): void {
    this.lastTold = "";
    this.panel.hidden = true;
    const isText = paper.text !== null;
    byId("paper").hidden = !isText;
    byId("unreadable").hidden = isText;
    if (isText) this.editor.show(paper);
    else fill(byId("unreadable"), h("p", {}, paper.unreadable || "This file can\u2019t be shown as text."));
    this.looked(paper);
  }

  /** The name of the paper in hand, and whether it is saved. */
  showHead(paper: Paper): void {
    const state =
      paper.text === null ? "" : isUnsaved(paper) ? "not saved" : paper.saved === null ? "" : "no unsaved changes";
    fill(
      byId("paper-name"),
      h("span", { class: "file" }, nameOf(paper.path)),
      state ? h("span", { class: isUnsaved(paper) ? "unsaved" : "is-saved" }, state) : null,
    );
  }

  /** Shows what is known of the paper in hand. */
  looked(paper: Paper): void {
    if (paper !== this.desk.current) return;
    const isEmpty = paper.text?.trim() === "";
    byId("welcome").hidden = !isEmpty;
    const findings = named(paper.look?.findings ?? []);
    if (paper.text !== null) this.editor.notes(findings);
    this.margin.show(paper.path, findings);
    const nothing = byId("nothing");
    nothing.hidden = isEmpty || paper.look?.checks.state !== "screened" || findings.some(([, card]) => !card.settled);
    this.tellLater(paper);
  }

  colours(tokens: readonly Coloured[]): void {
    this.editor.colours(tokens);
  }

  private tellLater(paper: Paper): void {
    clearTimeout(this.toldTimer);
    const { look } = paper;
    if (look === null || this.checking().isStale(paper)) return;
    this.toldTimer = setTimeout(() => {
      const told = look.checks.state === "screened" ? countsTold(look.counts) : look.checks.told;
      if (told !== this.lastTold && paper === this.desk.current) this.voice.hear(told);
      this.lastTold = told;
    }, QUIET_MS);
  }

  /** Shows a place of the paper in hand. */
  goTo(at: Span): void {
    this.editor.goTo(at, true);
  }

  /** The first note of a level. */
  level(level: LevelName): void {
    this.margin.enter((card) => card.level === level);
  }

  private apply(edits: readonly TextEdit[], what: string): void {
    const paper = this.desk.current;
    if (paper === null) return;
    if (this.checking().isStale(paper)) {
      this.voice.say("The text has changed since. Wait until it is checked again, then apply.");
      return;
    }
    this.editor.apply(edits);
    this.focusAfter();
    const told = what.replace(/ \(makes .*\)$/, ""); // what follows from it stood beside the button
    this.voice.say(`Applied: ${told}. Undo takes it back.`);
  }

  /** On a touch screen the focus in the text would bring the keyboard up over it. */
  private focusAfter(): void {
    if (matchMedia("(pointer: coarse)").matches) byId("paper-name").focus();
    else this.editor.view.focus();
  }

  private tidy(): void {
    const paper = this.desk.current;
    if (paper === null) return;
    const asked = this.editor.view.state.doc;
    this.asking.ask<Tidying>("tidy", { path: paper.path }, { key: "tidy" }).then(({ edits }) => {
      if (edits.length === 0) this.voice.say("The layout is as it should be.");
      else if (this.editor.view.state.doc === asked) {
        this.editor.apply(edits);
        this.voice.say("The layout was set right: white space alone has changed. Undo takes it back.");
      }
    }, this.failed);
  }

  private readonly failed = unlessSuperseded((why) => this.voice.say(why));

  /** Offers what may be changed at the caret's line: lines that are missing, an acceptance, the layout. */
  async change(): Promise<void> {
    const paper = this.desk.current;
    if (paper === null || paper.text === null) return;
    const { line } = this.editor;
    const text = this.editor.view.state.doc;
    try {
      const { changes } = await this.asking.ask<{ changes: Change[] }>(
        "changes",
        { path: paper.path, line, end_line: line },
        { key: "changes" },
      );
      if (changes.length === 0) {
        this.voice.say(`For line ${line} there is nothing to offer.`);
        return;
      }
      const chosen = await asked(
        `What may be changed at line ${line}`,
        ["None of these is preferred. Nothing is changed until you choose."],
        changes.map((each) => ({ text: each.title, value: each })),
      );
      if (chosen === null || this.editor.view.state.doc !== text) return;
      this.editor.apply(chosen.edits);
      this.editor.view.focus();
      this.voice.say(`Done: ${chosen.title}. Undo takes it back.`);
    } catch (fault) {
      this.failed(fault);
    }
  }

  /** Shows what is told of the word at the caret in a panel below the text. */
  async tell(): Promise<void> {
    const { view } = this.editor;
    const told = await toldAt(
      { offers: async () => [], hover: (line, column) => this.askedHere<Told>("hover", line, column) },
      view,
      view.state.selection.main.head,
    );
    if (told === null) {
      this.voice.say("There is nothing to tell of this place.");
      return;
    }
    const close = button("Close", () => this.close(), { class: "plain" });
    fill(this.panel, markdownOf(told.markdown), close);
    this.panel.hidden = false;
  }

  /** Closes the panel, if it is open. */
  close(): void {
    if (this.panel.hidden) return;
    const hadFocus = this.panel.contains(document.activeElement);
    this.panel.hidden = true;
    if (hadFocus) this.editor.view.focus();
  }
}

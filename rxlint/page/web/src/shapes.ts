// Made of rxlint/page/shapes.py by `python -m rxlint.page.typescript --write`; change that, not this.

/**
 * What passes between the page and Python, as JSON: each question's answer is one of these.
 *
 * Places are lines and columns from 1, ends exclusive, columns in code points, as everywhere in rxlint; the page turns
 * them into its editor's own. Paths are those of the page's folder, with forward slashes and without a leading one.
 * `python -m rxlint.page.typescript --write` makes `web/src/shapes.ts` of this module.
 */

export type LevelName = "reject" | "query" | "note";

/** What a file is by its name: something written in the notation; YAML; anything else that was brought along. */
export type FileKind = "document" | "rules" | "other";

export type ScreenState = "screened" | "unread" | "not screened" | "rules" | "no document";

export type TokenName = "section" | "term" | "number" | "unit" | "keyword" | "word" | "text" | "comment" | "name" | "rule" | "date";

/** A stretch of a text. `line` and `column` begin it, the others end it. */
export interface Span {
  line: number;
  column: number;
  end_line: number;
  end_column: number;
}

/** Text to put in the place of what stands there. */
export interface TextEdit {
  at: Span;
  text: string;
}

/** Another place that has to do with a finding; `path` is the document's own where it is in it. */
export interface Elsewhere {
  path: string;
  at: Span;
  message: string;
}

/** A line of a finding with what it is: "set by policy", "also", "accepted", "holds for". */
export interface Labelled {
  label: string;
  text: string;
}

/** What would restore the order. `edits` is empty where it is told in words alone and nothing can be applied. */
export interface Correction {
  text: string;
  edits: TextEdit[];
}

/**
 * A finding, or why a text can't be read (then without a rule), at its place.
 *
 * `settled` says that somebody answers for it or that it is known from before. `key` is the same as long as it is
 * the same finding, so that a card stays open while the text changes. `message` may have several lines where a file
 * of rules is told of.
 */
export interface FindingCard {
  key: string;
  at: Span;
  level: LevelName;
  rule?: string;
  title: string;
  message: string;
  settled: boolean;
  calculation: string[];
  correction_label: string;
  corrections: Correction[];
  sound: string[];
  related: Elsewhere[];
  more: Labelled[];
  because: string;
  source: string;
}

/** How many findings count at each level, and how many somebody answers for or are known. */
export interface Counts {
  reject: number;
  query: number;
  note: number;
  settled: number;
}

/**
 * How much was looked at. `state` is "screened", or why nothing was: the text is "unread", it is "not screened"
 * because the rules that hold for it can't be used, it is a file of "rules" itself, or "no document" of ours at all;
 * `told` says it in one line.
 */
export interface Checks {
  state: ScreenState;
  made: number;
  wanting: number;
  failed: number;
  told: string;
}

/** All that is told of a text while it is written. */
export interface Look {
  path: string;
  kind: FileKind;
  findings: FindingCard[];
  counts: Counts;
  checks: Checks;
  policies: string[];
  seconds: number;
}

/** A stretch of one line with what it is. */
export interface Coloured {
  line: number;
  column: number;
  end_column: number;
  kind: TokenName;
}

/** What each stretch of a text is, in its order. */
export interface Colours {
  tokens: Coloured[];
}

/** Text that may stand at a place: what it takes the place of, how it is shown, and more as Markdown. */
export interface Offered {
  label: string;
  kind: string;
  at: Span;
  text: string;
  detail: string;
  markdown: string;
}

/** What may be written at a place, the likeliest first. */
export interface Offers {
  offers: Offered[];
}

/** What is told of a place, as Markdown. */
export interface Told {
  at: Span;
  markdown: string;
}

/** A change that may be asked for at a place: lines that are missing, an acceptance, the layout. */
export interface Change {
  title: string;
  edits: TextEdit[];
}

/** The changes that may be asked for at some lines. None is preferred, and none is made by itself. */
export interface Changes {
  changes: Change[];
}

/** A check that was not made: which, why, and what it wants. */
export interface Unmade {
  rule: string;
  title: string;
  outcome: "not checked" | "undecided";
  lacks: string[];
  reasons: string[];
  scope: string;
}

/** How every rule came out: counts by outcome, and those that could not be checked. */
export interface CoverageTable {
  counts: Record<string, number>;
  unmade: Unmade[];
}

/** The checker's sheet as a page of its own. */
export interface SheetPage {
  html: string;
}

/** The profiles that a document may be keyed in by; `named` is the one that it names itself, or "". */
export interface Ventilators {
  names: string[];
  named: string;
}

/** The set-up list: as data (the object of `rxlint setup-list --format json`, as text) and as a report. */
export interface SetupText {
  json: string;
  text: string;
}

/**
 * Two revisions compared: the object of `rxlint compare --format json` as text, the report as Markdown, and the
 * findings of the change as cards, whose places are in the new text.
 */
export interface ComparedText {
  json: string;
  markdown: string;
  findings: FindingCard[];
}

/** A report of every document, byte for byte what the command line writes of the same folder. */
export interface ReportText {
  text: string;
}

/** Every value that a document implies, as `rxlint calculations` tells it. */
export interface ValuesText {
  text: string;
}

/** The edits that bring a text into its canonical layout: white space alone changes. None where it has it. */
export interface Tidying {
  edits: TextEdit[];
}

/** What there is to know of a rule, as Markdown. */
export interface RulePage {
  markdown: string;
}

/**
 * A settings file that names every policy, pack and profile of the folder which nothing names yet, for the user to
 * look at: where it belongs and what it says; `text` is "" where there is nothing to add. `adds` are those files.
 */
export interface SettingsText {
  path: string;
  text: string;
  adds: string[];
}

/** What runs: its version, how many rules and packs are built in, and the caution that goes with every result. */
export interface About {
  version: string;
  rules: number;
  packs: number;
  caution: string;
}

/** A file of the page's folder as it was taken in: its text, or why it can't be shown as text. */
export interface FileState {
  path: string;
  kind: FileKind;
  text?: string;
  unreadable?: string;
}

/**
 * What became of files that were brought along, in the order given, and the files that may come out otherwise now
 * (as in `Affected`), those that were brought among them.
 */
export interface Taken {
  files: FileState[];
  affected: string[];
}

/** The files that may come out otherwise now: documents, and files of rules, which may refer to one another. */
export interface Affected {
  paths: string[];
}

/** A fault of the program: what is shown in place of an answer. */
export interface Fault {
  fault: string;
}

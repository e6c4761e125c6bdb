/** The papers on the desk: what lies there, what of it is saved, and what is known of each. No element of the page. */

import type { EditorState } from "@codemirror/state";
import type { FileKind, Look } from "./shapes";

export type LineEnd = "\n" | "\r\n";

/** A file. `text` is as the editor holds it; `null` where it can't be shown as text, and `unreadable` says why. */
export interface Paper {
  path: string;
  kind: FileKind;
  text: string | null;
  unreadable: string;
  /** The bytes as they were brought, as long as nothing was changed in them; null of what was written here. */
  bytes: Uint8Array<ArrayBuffer> | null;
  mark: boolean;
  end: LineEnd;
  /** What the user has in a file of their own already, or null. */
  saved: string | null;
  state: EditorState | null;
  look: Look | null;
  /** Why there is no look, in words. */
  fault: string;
}

const BYTE_ORDER_MARK = "\ufeff";

/** The text for the editor and how its lines end. Where ends differ, carriage returns stay in the text, to be seen and kept. */
export function taken(text: string): { text: string; end: LineEnd } {
  const ends = text.split("\n").length - 1;
  const both = text.split("\r\n").length - 1;
  if (both === 0 || both !== ends) return { text, end: "\n" };
  return { text: text.replaceAll("\r\n", "\n"), end: "\r\n" };
}

/** The text as its file holds it, without a byte order mark. */
export function fileText(paper: Paper): string {
  const text = paper.text ?? "";
  return paper.end === "\n" ? text : text.replaceAll("\n", "\r\n");
}

/** The bytes to save: those that were brought where nothing was changed. */
export function fileBytes(paper: Paper): Uint8Array<ArrayBuffer> {
  if (paper.bytes !== null && (paper.text === null || paper.text === paper.saved)) return paper.bytes;
  return new TextEncoder().encode((paper.mark ? BYTE_ORDER_MARK : "") + fileText(paper));
}

/** Whether something of it would be lost with the tab. */
export function isUnsaved(paper: Paper): boolean {
  return paper.text !== null && paper.text !== paper.saved && !(paper.saved === null && paper.text.trim() === "");
}

/** A paper that is written here. */
export function written(path: string, text: string, saved: string | null): Paper {
  return {
    path,
    kind: kindOf(path),
    text,
    unreadable: "",
    bytes: null,
    mark: false,
    end: "\n",
    saved,
    state: null,
    look: null,
    fault: "",
  };
}

/** What a file is by its name, until the program has said it. */
export function kindOf(path: string): FileKind {
  if (/\.vrx$/i.test(path)) return "document";
  return /\.ya?ml$/i.test(path) ? "rules" : "other";
}

/** A path as the program knows it too: parts with one slash between them, letters with their marks as one. */
export function cleaned(path: string): string {
  const parts = path.normalize("NFC").split("/");
  const rooted = path.startsWith("/") ? "/" : ""; // such a name is refused, and told with its slash
  return rooted + parts.filter((part) => part !== "" && part !== ".").join("/");
}

/** The last part of a path. */
export function nameOf(path: string): string {
  return path.slice(path.lastIndexOf("/") + 1);
}

/** The desk. `onChange` is called after papers came, went, were renamed or another was taken up. */
export class Desk {
  readonly papers = new Map<string, Paper>();
  current: Paper | null = null;
  private readonly listeners: (() => void)[] = [];

  onChange(listener: () => void): void {
    this.listeners.push(listener);
  }

  changed(): void {
    for (const each of this.listeners) each();
  }

  /** Papers in the order of their paths: documents and the rest, or the rules of the site. */
  sorted(rules: boolean): Paper[] {
    const found = [...this.papers.values()].filter((each) => (each.kind === "rules") === rules);
    return found.sort((one, other) => (one.path < other.path ? -1 : 1));
  }

  /** Files that are neither: nothing in them is read, and they are told apart from documents. */
  get others(): Paper[] {
    return this.sorted(false).filter((each) => each.kind === "other");
  }

  get documents(): Paper[] {
    return this.sorted(false).filter((each) => each.kind === "document");
  }

  get hasUnsaved(): boolean {
    return [...this.papers.values()].some(isUnsaved);
  }

  put(paper: Paper): void {
    this.papers.set(paper.path, paper);
  }

  remove(path: string): void {
    const was = this.papers.get(path);
    this.papers.delete(path);
    if (was === this.current) this.current = this.documents[0] ?? [...this.papers.values()][0] ?? null;
  }

  rename(paper: Paper, to: string): void {
    this.papers.delete(paper.path);
    paper.path = to;
    this.papers.set(to, paper);
  }

  /** A name that is not taken: order-1.vrx, order-2.vrx. */
  freeName(stem: string, ending: string): string {
    for (let number = 1; ; number += 1) {
      const name = `${stem}-${number}${ending}`;
      if (!this.papers.has(name)) return name;
    }
  }
}

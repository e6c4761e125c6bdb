/** Files that are brought along: chosen, dropped, or a folder with all that lies in it. */

import type { Asking } from "./asking";
import { type Paper, cleaned, kindOf, taken } from "./desk";
import type { FileState, Taken } from "./shapes";

/** A file and the path that it gets on the desk; without it where the browser could not open it, or a folder. */
export interface Brought {
  path: string;
  file: File | null;
}

const LARGEST = 4_000_000; // bytes: a text of an order has a few thousand
const AT_ONCE = 25; // files told to the program in one question

/** Whether a path is of a file that programs keep for themselves: hidden, or in a hidden folder. */
export function isHidden(path: string): boolean {
  return path.split("/").some((part) => part.startsWith(".") || part === "__MACOSX");
}

/** Files from an input element, with the folder that they lay in. */
export function ofInput(files: FileList): Brought[] {
  return [...files].map((file) => ({ path: file.webkitRelativePath || file.name, file }));
}

/** Files of a drop, folders walked to their end. The list must be read before the event ends. */
export async function ofDrop(data: DataTransfer): Promise<Brought[]> {
  const found = [...data.items].map((item) => {
    const entry = item.webkitGetAsEntry();
    const file = item.getAsFile(); // where there is no entry: a file that a program made, not the user's disk
    if (entry !== null) return walked(entry, "");
    return Promise.resolve(file === null ? [] : [{ path: file.name, file }]);
  });
  return (await Promise.all(found)).flat();
}

async function walked(entry: FileSystemEntry, under: string): Promise<Brought[]> {
  const path = under + entry.name;
  if (entry.isFile) {
    const file = new Promise<File>((done, failed) => (entry as FileSystemFileEntry).file(done, failed));
    return [{ path, file: await file.catch(() => null) }];
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const found: Brought[][] = [];
  for (;;) {
    // a reader hands out some at a time, and none when it is done
    const reading = new Promise<FileSystemEntry[]>((done, failed) => reader.readEntries(done, failed));
    const some = await reading.catch(() => null);
    if (some === null) return [...found.flat(), { path, file: null }]; // a folder that may not be read
    if (some.length === 0) return found.flat();
    found.push(...(await Promise.all(some.map((each) => walked(each, `${path}/`)))));
  }
}

/** A paper of a file; one that is no text, or too large, says so. */
export async function paperOf({ path, file }: Brought): Promise<Paper> {
  const paper: Paper = {
    path: cleaned(path), kind: kindOf(path), text: null, unreadable: "", bytes: null, mark: false, end: "\n",
    saved: null, state: null, look: null, fault: "",
  }; // prettier-ignore
  const bytes = file !== null && file.size <= LARGEST ? await bytesOf(file) : null;
  if (file !== null && file.size > LARGEST) {
    paper.unreadable = `This file has ${Math.round(file.size / 1_000_000)} MB; a text of more than ${LARGEST / 1_000_000} MB is not taken in.`;
    return paper;
  }
  if (bytes === null) {
    paper.unreadable = "The browser could not read this. It may have been moved, or may not be opened by you.";
    return paper;
  }
  paper.bytes = bytes;
  try {
    const text = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
    paper.mark = text.startsWith("\ufeff");
    lay(paper, paper.mark ? text.slice(1) : text);
  } catch {
    paper.unreadable = "This file is not text in UTF-8, so it can\u2019t be shown here.";
  }
  return paper;
}

function bytesOf(file: File): Promise<Uint8Array<ArrayBuffer> | null> {
  return file.arrayBuffer().then(
    (data) => new Uint8Array(data),
    () => null,
  );
}

function lay(paper: Paper, text: string): void {
  const { text: shown, end } = taken(text);
  paper.text = shown;
  paper.saved = shown;
  paper.end = end;
}

/** Tells the program of papers, and puts what it says of each into it. */
export async function tell(asking: Asking, papers: readonly Paper[], told: (count: number) => void): Promise<void> {
  const able = papers.filter((each) => each.bytes !== null);
  for (let at = 0; at < able.length; at += AT_ONCE) {
    await tellSome(asking, able.slice(at, at + AT_ONCE));
    told(Math.min(able.length, at + AT_ONCE));
  }
}

/** Tells the program of papers in one question: the bytes that were brought. */
export async function tellSome(asking: Asking, papers: readonly Paper[], key = ""): Promise<void> {
  const files = papers.map(({ path, bytes }) => ({ path, base64: base64Of(bytes ?? new Uint8Array()) }));
  const { files: states } = await asking.ask<Taken>("take", { files }, { key });
  states.forEach((state, index) => papers[index] && settle(papers[index], state));
}

function settle(paper: Paper, state: FileState): void {
  paper.kind = state.kind;
  if (state.unreadable === undefined) return;
  if (paper.text !== null && paper.text !== paper.saved) return; // somebody has written in it meanwhile, and it is told anew
  paper.unreadable = state.unreadable;
  paper.text = null;
}

const CHUNK = 0x8000; // as many arguments as every browser takes

function base64Of(bytes: Uint8Array): string {
  let binary = "";
  for (let at = 0; at < bytes.length; at += CHUNK) binary += String.fromCharCode(...bytes.subarray(at, at + CHUNK));
  return btoa(binary);
}

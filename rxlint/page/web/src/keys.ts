/** Keys of the page, at one place: what they do and what the help says of them. */

import { h } from "./dom";
import { told } from "./dialogs";

export interface KeyActs {
  note(by: 1 | -1): void;
  correct(): void;
  view(by: 1 | -1): void;
  document(by: 1 | -1): void;
  tell(): void;
  change(): void;
  save(): void;
  help(): void;
  close(): void;
}

interface Key {
  shown: string;
  does: string;
  fits(event: KeyboardEvent): boolean;
  act(acts: KeyActs): void;
}

const alt = (key: string) => (event: KeyboardEvent) =>
  event.altKey && !event.ctrlKey && !event.metaKey && !event.shiftKey && event.key === key;
const control = (key: string, shift: boolean) => (event: KeyboardEvent) =>
  (event.ctrlKey || event.metaKey) && !event.altKey && event.shiftKey === shift && event.key.toLowerCase() === key;

const KEYS: readonly Key[] = [
  { shown: "Alt + \u2193", does: "to the next note", fits: alt("ArrowDown"), act: (acts) => acts.note(1) },
  { shown: "Alt + \u2191", does: "to the note before", fits: alt("ArrowUp"), act: (acts) => acts.note(-1) },
  {
    shown: "Alt + Enter",
    does: "from a line to its note, at the first correction; Enter there applies it",
    fits: alt("Enter"),
    act: (acts) => acts.correct(),
  },
  { shown: "Alt + Page Down", does: "to the next view", fits: alt("PageDown"), act: (acts) => acts.view(1) },
  { shown: "Alt + Page Up", does: "to the view before", fits: alt("PageUp"), act: (acts) => acts.view(-1) },
  { shown: "Alt + End", does: "to the next document", fits: alt("End"), act: (acts) => acts.document(1) },
  { shown: "Alt + Home", does: "to the document before", fits: alt("Home"), act: (acts) => acts.document(-1) },
  {
    shown: "Ctrl + Shift + Space",
    does: "what is told of the word at the caret",
    fits: control(" ", true),
    act: (acts) => acts.tell(),
  },
  {
    shown: "Ctrl + Shift + Enter",
    does: "what may be changed at this line",
    fits: control("enter", true),
    act: (acts) => acts.change(),
  },
  { shown: "Ctrl + S", does: "save this document to a file", fits: control("s", false), act: (acts) => acts.save() },
  { shown: "F1", does: "this list", fits: (event) => event.key === "F1", act: (acts) => acts.help() },
];

const OTHERS: readonly (readonly [string, string])[] = [
  ["Ctrl + Space", "what may stand here; an arrow key chooses, Enter writes it"],
  ["Ctrl + Z, Ctrl + Y", "undo, and do again"],
  ["Tab", "out of the text, to what comes next"],
  ["Escape", "close what is open"],
];

/** Listens for the keys wherever the focus is, except while a dialog is open. */
export function listen(acts: KeyActs): void {
  document.addEventListener(
    "keydown",
    (event) => {
      if (document.querySelector("dialog[open]")) return;
      if (event.key === "Escape") acts.close();
      const key = KEYS.find((each) => each.fits(event));
      if (key === undefined) return;
      event.preventDefault();
      event.stopPropagation();
      key.act(acts);
    },
    { capture: true },
  );
}

/** Shows all keys. */
export function showKeys(): void {
  const all: readonly (readonly [string, string])[] = [
    ...KEYS.map((each) => [each.shown, each.does] as const),
    ...OTHERS,
  ];
  const rows = all.map(([shown, does]) => h("div", {}, h("dt", {}, h("kbd", {}, shown)), h("dd", {}, does)));
  told(
    "Keys",
    h("p", {}, "On an Apple keyboard, Cmd does as Ctrl and Option as Alt."),
    h("dl", { class: "keys" }, ...rows),
  );
}

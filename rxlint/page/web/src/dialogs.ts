/** Questions to the user, in the browser's own dialog element: Escape closes it, and the focus goes back to where it was. */

import { button, fill, h } from "./dom";

interface Answer<T> {
  text: string;
  value: T;
}

/** Asks with one button an answer; null where the dialog was closed without one. */
export function asked<T>(
  title: string,
  told: readonly (Node | string)[],
  answers: readonly Answer<T>[],
): Promise<T | null> {
  return new Promise((resolve) => {
    let chosen: T | null = null;
    const buttons = answers.map(({ text, value }) =>
      button(text, () => {
        chosen = value;
        dialog.close();
      }),
    );
    const parts = told.map((each) => (typeof each === "string" ? h("p", {}, each) : each));
    const dialog = shownDialog(title, [...parts, h("div", { class: "answers" }, ...buttons)], () => resolve(chosen));
  });
}

/** Asks for a line of text; null where the dialog was closed without it. */
export function askedText(title: string, label: string, value: string, done: string): Promise<string | null> {
  const input = h("input", { type: "text", value, spellcheck: "false", autocomplete: "off" });
  const ready = asked(
    title,
    [h("label", { class: "field" }, h("span", {}, label), input)],
    [
      { text: done, value: true },
      { text: "Leave it", value: false },
    ],
  );
  input.addEventListener("keydown", (event) => {
    if (event.key === "Enter") input.closest("dialog")?.querySelector<HTMLButtonElement>(".answers button")?.click();
  });
  input.select();
  return ready.then((yes) => (yes === true ? input.value.trim() : null));
}

/** Shows something to read, with a button that closes it. */
export function told(title: string, ...parts: readonly Node[]): HTMLDialogElement {
  const dialog = shownDialog(
    title,
    [
      ...parts,
      h(
        "div",
        { class: "answers" },
        button("Close", () => dialog.close()),
      ),
    ],
    () => {},
  );
  return dialog;
}

let number = 0;

function shownDialog(title: string, parts: readonly Node[], closed: () => void): HTMLDialogElement {
  number += 1;
  const id = `dialog-${number}`;
  const before = document.activeElement;
  const dialog = h("dialog", { "aria-labelledby": id });
  fill(dialog, h("h2", { id }, title), ...parts);
  dialog.addEventListener("close", () => {
    dialog.remove();
    if (before instanceof HTMLElement && before.isConnected) before.focus({ preventScroll: true });
    closed();
  });
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}

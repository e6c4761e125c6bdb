/** Texts from outside as they may be shown: what turns a text round, hides or acts is told by its number. */

/** The same characters as in `rxlint/text/source.py`; a tab and a line feed stay. */
export const ACTING =
  /[\0-\x08\x0b-\x1f\x7f-\x9f\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u2028-\u202e\u2060-\u206f\u2800\u3164\ud800-\udfff\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff\u{1d173}-\u{1d17a}\u{e0000}-\u{e0fff}]/u;

const ALL = new RegExp(ACTING.source, "gu");

/** A character by its number: <U+202E>. */
export function numbered(code: number): string {
  return `<U+${code.toString(16).toUpperCase().padStart(4, "0")}>`;
}

/** A text with such characters told by their numbers. */
export function printable(text: string): string {
  return text.replace(ALL, (found) => numbered(found.codePointAt(0) ?? 0));
}

/**
 * Places as the program tells them - lines and columns from 1, columns in code points - and as the browser counts: from 0,
 * in UTF-16 units over the whole text. What lies outside a text is drawn to its nearest end, for answers may be a moment late.
 */

import type { Span } from "./shapes";

/** As much of an editor's text as is needed here; CodeMirror's `Text` is one. */
export interface Lines {
  readonly lines: number;
  readonly length: number;
  line(number: number): { readonly from: number; readonly text: string };
  lineAt(offset: number): { readonly number: number; readonly from: number; readonly text: string };
}

export interface Place {
  readonly line: number;
  readonly column: number;
}

/** How many UTF-16 units of a line stand before a column in code points. */
export function unitsBefore(line: string, column: number): number {
  let units = 0;
  for (let left = column - 1; left > 0 && units < line.length; left -= 1) {
    units += isPair(line, units) ? 2 : 1;
  }
  return units;
}

/** The column in code points after some UTF-16 units of a line. */
export function columnAfter(line: string, units: number): number {
  let column = 1;
  for (let at = 0; at < Math.min(units, line.length); at += isPair(line, at) ? 2 : 1) column += 1;
  return column;
}

function isPair(line: string, at: number): boolean {
  const first = line.charCodeAt(at);
  const second = line.charCodeAt(at + 1);
  return first >= 0xd800 && first <= 0xdbff && second >= 0xdc00 && second <= 0xdfff;
}

/** The offset of a place in a text. */
export function offsetOf(text: Lines, line: number, column: number): number {
  if (line < 1) return 0;
  if (line > text.lines) return text.length;
  const found = text.line(line);
  return found.from + unitsBefore(found.text, column);
}

/** The place of an offset in a text. */
export function placeOf(text: Lines, offset: number): Place {
  const found = text.lineAt(Math.max(0, Math.min(offset, text.length)));
  return { line: found.number, column: columnAfter(found.text, offset - found.from) };
}

/** Both ends of a span as offsets, the first never after the second. */
export function endsOf(text: Lines, at: Span): { from: number; to: number } {
  const from = offsetOf(text, at.line, at.column);
  return { from, to: Math.max(from, offsetOf(text, at.end_line, at.end_column)) };
}

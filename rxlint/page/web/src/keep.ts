/** Saving: a file of the user's own is the only place where anything stays. */

import { h } from "./dom";

/** Hands bytes or text to the browser as a file to save. */
export function save(name: string, content: Uint8Array<ArrayBuffer> | string, type = "text/plain"): void {
  const address = URL.createObjectURL(new Blob([content], { type: `${type};charset=utf-8` }));
  const link = h("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000); // the browser may read it a while later
}

/** The name of a report's file. */
export const REPORTS: readonly (readonly [format: string, label: string, name: string, type: string])[] = [
  ["text", "to read (text)", "report.txt", "text/plain"],
  ["json", "for programs (JSON)", "report.json", "application/json"],
  ["sarif", "for programs (SARIF)", "report.sarif", "application/json"],
  ["junit", "for programs (JUnit XML)", "report-junit.xml", "application/xml"],
  ["checkstyle", "for programs (Checkstyle XML)", "report-checkstyle.xml", "application/xml"],
];

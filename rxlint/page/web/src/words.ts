/** Words and shapes of levels, as the printed sheet has them, and small helps with language. */

import type { Checks, Counts, FindingCard, LevelName } from "./shapes";

export const LEVELS: readonly LevelName[] = ["reject", "query", "note"];
export const SHAPES: Readonly<Record<LevelName, string>> = { reject: "\u25a0", query: "\u25c6", note: "\u25cb" };
export const WORDS: Readonly<Record<LevelName, string>> = { reject: "to reject", query: "query", note: "note" };
export const MEANINGS: Readonly<Record<LevelName, string>> = {
  reject: "not to be used as written",
  query: "ask the prescriber",
  note: "worth knowing",
};
export const NO_APPROVAL = "No finding is no approval.";

/** A number with its word: "1 check", "2 checks". */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** A day with its month in letters, which no country reads as another day: "24 November 2026". */
export function dayTold(day: string): string {
  const format = new Intl.DateTimeFormat("en-GB", { dateStyle: "long", timeZone: "UTC" });
  return format.format(new Date(`${day}T00:00:00Z`));
}

/** Counts by level in words: "1 to reject, 2 queries, 0 notes". */
export function countsTold(counts: Counts): string {
  const settled = counts.settled ? `, ${counts.settled} settled` : "";
  return `${counts.reject} to reject, ${counted(counts.query, "query", "queries")}, ${counted(counts.note, "note")}${settled}`;
}

/** How much was looked at, in words. */
export function checksTold(checks: Checks): string {
  if (checks.state !== "screened") return checks.told;
  const wanting = checks.wanting ? `, ${checks.wanting} could not be made` : "";
  const failed = checks.failed ? `, ${checks.failed} failed` : "";
  return `${counted(checks.made, "check")} made${wanting}${failed}`;
}

/** Findings in the order of the printed sheet, each with the name that it has there: F1, F2. */
export function named(findings: readonly FindingCard[], letter = "F"): (readonly [name: string, card: FindingCard])[] {
  const ordered = [...findings].sort(
    (one, other) =>
      Number(one.settled) - Number(other.settled) || LEVELS.indexOf(one.level) - LEVELS.indexOf(other.level),
  );
  return ordered.map((card, at) => [`${letter}${at + 1}`, card] as const);
}

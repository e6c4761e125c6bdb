/** What could not be checked, and what each check wants. */

import { type Context, documentInHand, instead, showAnswer } from "./context";
import { button, byId, fill, h, table } from "./dom";
import type { CoverageTable, Unmade } from "./shapes";
import type { View } from "./views";
import { NO_APPROVAL, counted } from "./words";

/** Outcomes of checks as words of a sentence: "156 met, 1 not met". */
const OUTCOMES: Readonly<Record<string, string>> = {
  broken: "not met",
  "not checked": "could not be checked",
  undecided: "could not be decided",
  "does not apply": "do not apply here",
};

export class UncheckedView implements View {
  private readonly place = byId("unchecked-place");

  constructor(private readonly context: Context) {}

  show(): void {
    const paper = documentInHand(this.context.desk);
    if (typeof paper === "string") {
      instead(this.place, paper);
      return;
    }
    void showAnswer<CoverageTable>(this.context, this.place, ["coverage", { path: paper.path }], (found) =>
      this.shown(found, paper.look?.policies ?? []),
    );
  }

  private shown({ counts, unmade }: CoverageTable, policies: readonly string[]): void {
    const told = Object.entries(counts)
      .filter(([, count]) => count > 0)
      .map(([word, count]) => `${count} ${OUTCOMES[word] ?? word}`);
    fill(
      this.place,
      h("p", {}, `Of the checks: ${told.join(", ")}. ${NO_APPROVAL}`),
      h(
        "p",
        {},
        policies.length
          ? policies.join(" ")
          : "No policy of a site holds here: only the built-in checks were made.",
      ),
      unmade.length
        ? h(
            "p",
            {},
            "What a check lacks can be written into the order where it is known and found out where it is not. Do not write a guess.",
          )
        : null,
      unmade.length
        ? table(
            `${counted(unmade.length, "check")} could not be made`,
            ["Check", "It lacks", "Why", "Holds for"],
            unmade.map((each) => this.row(each)),
          )
        : h("p", {}, "Every check that concerns this document could be made."),
    );
  }

  private row(unmade: Unmade): (HTMLElement | string)[] {
    const outcome = unmade.outcome === "undecided" ? "not decided: " : "";
    return [
      h(
        "span",
        {},
        unmade.title,
        " ",
        button(unmade.rule, () => this.context.rule(unmade.rule), { class: "plain rule" }),
      ),
      unmade.lacks.join(", "),
      outcome + unmade.reasons.join("; "),
      unmade.scope,
    ];
  }
}

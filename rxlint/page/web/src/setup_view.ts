/** The set-up list: what to key in at a ventilator, in its own order. */

import { type Context, documentInHand, instead, lineSpan, notice, showAnswer } from "./context";
import { nameOf } from "./desk";
import { type Child, button, byId, choice, fill, h, table } from "./dom";
import { save } from "./keep";
import type { SetupText, Ventilators } from "./shapes";
import type { View } from "./views";

interface SetupLine {
  order: number;
  name: string;
  term: string;
  state: string;
  keyed: string | null;
  prescribed: string;
  line: number | null;
  why: string | null;
  choices: string[];
  may_be_moved: string | null;
  anew_with: string[];
}

interface SetupPeriod {
  period: string | null;
  band: string | null;
  mode: string | null;
  lines: SetupLine[];
  open: string[];
  lacking: { term: string; line: number }[];
  elsewhere: { what: string; value: string }[];
  checks: string[];
}

/** As much of `setup.schema.json` as is shown. */
interface Setup {
  ventilator: { name: string; revision: number };
  stops: string[];
  to_reject: { rule: string; line: number; message: string }[];
  periods: SetupPeriod[];
  caution: string;
}

export class SetupView implements View {
  private ventilator = "";
  private period = "";
  private path = "";
  private readonly choices = byId("setup-choices");
  private readonly place = byId("setup-place");

  constructor(private readonly context: Context) {}

  show(): void {
    const paper = documentInHand(this.context.desk);
    if (typeof paper === "string") {
      fill(this.choices);
      instead(this.place, paper);
      return;
    }
    if (this.path !== paper.path) fill(this.choices); // they save and print what was made of another
    this.path = paper.path;
    void this.list(paper.path);
  }

  private async list(path: string): Promise<void> {
    await showAnswer<Ventilators>(this.context, this.place, ["ventilators", { path }], ({ names, named }) => {
      if (!names.includes(this.ventilator)) this.ventilator = names.includes(named) ? named : (names[0] ?? "");
      if (names.length === 0) {
        fill(this.choices);
        notice(
          this.place,
          "No ventilator is known here. A list needs the profile of the ventilator: a file of your site that says what is keyed in, in which order and steps.",
          "Lay the profile on the desk together with the settings of the site (rxlint.yaml) that name it.",
        );
        return;
      }
      void this.listFor(path, names);
    });
  }

  private listFor(path: string, names: readonly string[]): Promise<void> {
    return showAnswer<SetupText>(
      this.context,
      this.place,
      ["setup", { path, ventilator: this.ventilator, period: "" }],
      ({ json, text }) => {
        const setup = JSON.parse(json) as Setup;
        this.choose(path, names, setup, text);
        const shown = setup.periods.filter((each) => this.period === "" || (each.period ?? "") === this.period);
        fill(
          this.place,
          ...this.head(setup, path),
          ...shown.flatMap((each) => this.partsOf(each, path)),
          h("p", { class: "caution" }, setup.caution),
        );
      },
    ).then(() => {
      if (this.choices.childElementCount === 0) this.choose(path, names, null, "");
    });
  }

  private choose(path: string, names: readonly string[], setup: Setup | null, text: string): void {
    const periods = [...new Set(setup?.periods.map((each) => each.period ?? "") ?? [])].filter((each) => each !== "");
    if (!periods.includes(this.period)) this.period = "";
    const anew = (): void => this.show();
    const name = nameOf(path).replace(/\.vrx$/i, "") + "-set-up.txt";
    fill(
      this.choices,
      choice(
        "Ventilator",
        names.map((each) => [each, each] as const),
        this.ventilator,
        (value) => {
          this.ventilator = value;
          anew();
        },
      ),
      periods.length > 1
        ? choice("Period", [["", "all"], ...periods.map((each) => [each, each] as const)], this.period, (value) => {
            this.period = value;
            anew();
          })
        : null,
      text ? button("Save as text", () => save(name, text)) : null,
      text ? button("Print", () => window.print()) : null,
    );
  }

  private head(setup: Setup, path: string): Child[] {
    const { name, revision } = setup.ventilator;
    const title = h("h3", {}, `${path} on ventilator ${name}, profile revision ${revision}`);
    if (setup.stops.length === 0)
      return [title, h("p", {}, "Nothing in the prescription stands against keying it in. That is no approval.")];
    const rejects = setup.to_reject.map((each) => h("li", {}, this.lineButton(path, each.line), ` ${each.message}`));
    const notice = h(
      "div",
      { class: "notice" },
      h("p", { class: "notice-title" }, "\u25b2 Not to be keyed in as it stands"),
      h("ul", {}, ...setup.stops.map((each) => h("li", {}, each)), ...rejects),
    );
    return [title, notice];
  }

  private lineButton(path: string, line: number): HTMLElement {
    return button(`line ${line}`, () => this.context.goTo(path, lineSpan(line)), { class: "place" });
  }

  private partsOf(sheet: SetupPeriod, path: string): Child[] {
    const scope = [sheet.period ? `period ${sheet.period}` : "", sheet.band ?? "", sheet.mode ?? ""]
      .filter((each) => each)
      .join(", ");
    const rows = sheet.lines.map((each) => [
      String(each.order),
      h("strong", {}, each.name),
      this.keyed(each),
      this.prescribed(each),
      each.line === null ? "" : this.lineButton(path, each.line),
    ]);
    const lists: readonly (readonly [string, readonly Child[]])[] = [
      ["Left open by the prescriber, to be asked about", sheet.open],
      [
        "Prescribed, and this ventilator has nothing to set for it",
        sheet.lacking.map(({ term, line }) => h("span", {}, `${term} `, this.lineButton(path, line))),
      ],
      ["To be set elsewhere", sheet.elsewhere.map(({ what, value }) => `${what}: ${value}`)],
      ["To be checked before and once it runs", sheet.checks],
    ];
    const told = lists
      .filter(([, items]) => items.length > 0)
      .flatMap(([heading, items]) => [h("h4", {}, heading), h("ul", {}, ...items.map((each) => h("li", {}, each)))]);
    return [
      table(
        `To be keyed in, in this order: ${scope || "all day"}`,
        ["No.", "On the ventilator", "Keyed in as", "Prescribed", "Line"],
        rows,
      ),
      ...told,
    ];
  }

  private keyed(line: SetupLine): HTMLElement {
    const notes = [
      line.why,
      line.choices.length ? `nearest that can be set: ${line.choices.join(", ")}` : "",
      line.may_be_moved ? `staff may move it from ${line.may_be_moved}` : "",
      line.anew_with.length ? `key it in anew when ${line.anew_with.join(" or ")} is moved` : "",
    ];
    const what =
      line.keyed === null
        ? h("strong", { class: "cannot" }, "\u25a0 can\u2019t be set")
        : h("strong", { class: "big" }, line.keyed);
    return h("span", {}, what, ...notes.filter((each) => each).map((each) => h("span", { class: "aside" }, each)));
  }

  private prescribed(line: SetupLine): HTMLElement {
    return h("span", {}, `${line.term} ${line.prescribed}`);
  }
}

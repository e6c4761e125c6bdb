/** The checker's sheet as a view: a page of its own in a frame, to print, to save, to open in a window. */

import { type Context, documentInHand, instead, showAnswer } from "./context";
import { byId, choice, fill } from "./dom";
import { nameOf } from "./desk";
import { save } from "./keep";
import type { SheetPage, Ventilators } from "./shapes";
import type { View } from "./views";

/** What passes to a page that shows a sheet. */
export interface SheetMessage {
  sheet: string;
}

export class SheetView implements View {
  /** The sheet of what is asked for now; none while it is waited for. */
  private html = "";
  private path = "";
  private name = "sheet.html";
  private ventilator = "";
  private before = "";
  private readonly frame = byId<HTMLIFrameElement>("sheet-frame");
  private readonly place = byId("sheet-place");
  private readonly acts = byId("sheet-acts");

  constructor(private readonly context: Context) {
    byId("sheet-print").addEventListener("click", () => this.frame.contentWindow?.print());
    byId("sheet-save").addEventListener("click", () => save(this.name, this.html, "text/html"));
    byId("sheet-window").addEventListener("click", () => window.open("sheet.html#window"));
    // A page that shows a sheet asks for it when it is ready. Only pages of this folder are answered.
    addEventListener("message", (event: MessageEvent<unknown>) => {
      if (event.origin !== location.origin || event.data !== "sheet, please" || this.html === "") return;
      const message: SheetMessage = { sheet: this.html };
      (event.source as Window | null)?.postMessage(message, location.origin);
    });
  }

  show(): void {
    const paper = documentInHand(this.context.desk);
    const isThere = typeof paper !== "string";
    this.acts.hidden = !isThere;
    this.made("");
    if (!isThere) {
      instead(this.place, paper);
      return;
    }
    const { path } = paper;
    this.path = path;
    this.name = nameOf(path).replace(/\.vrx$/i, "") + "-sheet.html";
    void this.choices(path);
    const given = { path, ventilator: this.ventilator, before: this.before };
    void showAnswer<SheetPage>(this.context, this.place, ["sheet", given], ({ html }) => {
      fill(this.place);
      this.made(html);
      if (this.frame.src === "") this.frame.src = "sheet.html";
      else this.frame.contentWindow?.postMessage({ sheet: html } satisfies SheetMessage, location.origin);
    });
  }

  /** While there is no sheet, the one before is neither shown nor printed nor saved: it may be of another document. */
  private made(html: string): void {
    this.html = html;
    this.frame.hidden = html === "";
    for (const each of ["sheet-print", "sheet-save", "sheet-window"])
      byId<HTMLButtonElement>(each).disabled = html === "";
  }

  /** The ventilator of the set-up list in it, and the revision that it is compared with. */
  private async choices(path: string): Promise<void> {
    const others = this.context.desk.documents
      .filter((each) => each.path !== path)
      .map((each) => [each.path, each.path] as const);
    if (!others.some(([each]) => each === this.before)) this.before = "";
    const none: Ventilators = { names: [], named: "" }; // why there are none is told in the place of the sheet
    const { names, named } = await this.context.asking.ask<Ventilators>("ventilators", { path }).catch(() => none);
    if (this.path !== path) return;
    if (this.ventilator && !names.includes(this.ventilator)) this.ventilator = "";
    const own = named ? `${named}, which it names` : "none";
    const ventilators = [
      ["", own] as const,
      ...names.filter((each) => each !== named).map((each) => [each, each] as const),
    ];
    fill(
      byId("sheet-choices"),
      choice("Ventilator", ventilators, this.ventilator, (value) => {
        this.ventilator = value;
        this.show();
      }),
      choice("Compared with", [["", "no earlier revision"], ...others], this.before, (value) => {
        this.before = value;
        this.show();
      }),
    );
  }
}

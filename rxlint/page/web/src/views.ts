/** The views of the desk as tabs: one is shown, arrow keys go from one to the next. */

import { byId } from "./dom";

/** A view draws itself when it is turned to, and anew when what it shows may have changed. */
export interface View {
  show(): void;
}

export const VIEWS = ["text", "sheet", "setup", "compare", "unchecked", "values"] as const;
export type ViewName = (typeof VIEWS)[number];

export class Views {
  current: ViewName = "text";

  constructor(private readonly views: Readonly<Record<ViewName, View>>) {
    for (const name of VIEWS) {
      const tab = byId(`tab-${name}`);
      tab.addEventListener("click", () => this.turn(name));
      tab.addEventListener("keydown", (event) => this.pressed(event, name));
    }
  }

  private pressed(event: KeyboardEvent, name: ViewName): void {
    const at = VIEWS.indexOf(name);
    const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: VIEWS.length - 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const next = VIEWS[(to + VIEWS.length) % VIEWS.length] ?? "text";
    this.turn(next);
    byId(`tab-${next}`).focus();
  }

  /** Turns to a view. */
  turn(name: ViewName): void {
    this.current = name;
    for (const each of VIEWS) {
      const isShown = each === name;
      const tab = byId(`tab-${each}`);
      tab.setAttribute("aria-selected", String(isShown));
      tab.tabIndex = isShown ? 0 : -1;
      byId(`view-${each}`).hidden = !isShown;
    }
    this.views[name].show();
  }

  /** The next view, or the one before. The focus goes to its tab, for what had it may be out of sight now. */
  step(by: 1 | -1): void {
    const at = VIEWS.indexOf(this.current) + by;
    const next = VIEWS[(at + VIEWS.length) % VIEWS.length] ?? "text";
    this.turn(next);
    byId(`tab-${next}`).focus(); // which brings the beginning of the view into sight
  }

  /** What is shown may have changed. */
  renew(): void {
    if (this.current !== "text") this.views[this.current].show();
  }
}

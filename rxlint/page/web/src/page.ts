/** The start of the page: everything is made here and joined. */

import { Asking, unlessSuperseded } from "./asking";
import { Checking } from "./checking";
import { CompareView } from "./compare_view";
import type { Context } from "./context";
import { Desk, type Paper } from "./desk";
import { told } from "./dialogs";
import { byId, fill } from "./dom";
import { exampleOn } from "./example";
import { Files } from "./files";
import { listen, showKeys } from "./keys";
import { keepForLater, showLoading } from "./loading";
import { markdownOf } from "./markdown";
import { closeMenus } from "./menus";
import { printable } from "./printable";
import { SetupView } from "./setup_view";
import type { About, Affected, RulePage, Span } from "./shapes";
import { SheetView } from "./sheet_view";
import { showStrip } from "./strip";
import { TextView } from "./text_view";
import { Tray } from "./tray";
import { UncheckedView } from "./unchecked_view";
import { ValuesView } from "./values_view";
import { Views } from "./views";
import { dayTold } from "./words";

const said = byId("said");
let saidTimer: ReturnType<typeof setTimeout> | undefined;

/** Tells something in passing, to the eye and to those who hear the page. */
function say(text: string): void {
  clearTimeout(saidTimer);
  said.textContent = printable(text);
  saidTimer = setTimeout(() => (said.textContent = ""), Math.min(12_000, 4_000 + 60 * text.length));
}

/** Tells the outcome to those who hear the page; the eye has it on the strip. */
function hear(text: string): void {
  byId("heard").textContent = text;
}

function rule(id: string): void {
  asking
    .ask<RulePage>("rule", { rule: id })
    .then(({ markdown }) => told(`Rule ${id}`, markdownOf(markdown)), unlessSuperseded(say));
}

/** Lays another paper out. */
function take(paper: Paper): void {
  text.editor.keep();
  desk.current = paper;
  text.take(paper);
  checking.look(paper);
  desk.changed();
  views.renew();
}

function goTo(path: string, at: Span): void {
  const paper = desk.papers.get(path);
  if (paper === undefined) {
    say(`${path} does not lie on the desk.`);
    return;
  }
  if (views.current !== "text") views.turn("text");
  if (paper !== desk.current) take(paper);
  if (paper.text !== null) text.goTo(at);
}

function lineText(path: string, line: number): string | null {
  return desk.papers.get(path)?.text?.split("\n")[line - 1] ?? null;
}

function turnTo(name: "text" | "unchecked"): void {
  views.turn(name);
  byId(`tab-${name}`).focus();
}

function strip(): void {
  const paper = desk.current;
  if (paper === null) return;
  fill(byId("strip-name"), paper.path);
  showStrip(byId("strip-told"), paper.look, whyNoLook(paper), checking.isStale(paper), {
    level(level) {
      views.turn("text");
      text.level(level);
    },
    unchecked: () => turnTo("unchecked"),
  });
}

function whyNoLook(paper: Paper): string {
  if (paper.unreadable) return "Not checked: this file can\u2019t be shown as text.";
  if (paper.fault) return `Not checked: ${paper.fault}`;
  if (paper.text?.trim() === "") return "Nothing is written yet, so nothing is checked.";
  return asking.ready ? "Being checked." : "Not checked yet: the checking program is being loaded.";
}

let drawn = false;

/** Draws the tray and the strip, once a frame however many answers came. */
function draw(): void {
  if (drawn) return;
  drawn = true;
  requestAnimationFrame(() => {
    drawn = false;
    tray.show(desk, (paper) => checking.isStale(paper));
    if (desk.current !== null) text.showHead(desk.current);
    strip();
  });
}

/** Today, or the day that the address names. */
function firstDay(): string {
  const named = new URLSearchParams(location.search).get("on") ?? "";
  return /^\d{4}-\d{2}-\d{2}$/.test(named) ? named : today();
}

function today(): string {
  const now = new Date();
  const two = (number: number): string => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function judgeOn(day: string): void {
  byId("strip-day").textContent = day === today() ? "" : `Dates judged as on ${dayTold(day)}, which is not today.`;
  asking.ask<Affected>("day", { day }, { key: "day" }).then(
    ({ paths }) => {
      checking.affected(paths);
      views.renew();
    },
    unlessSuperseded((why) => asking.ready && say(why)), // while it is not running, that is told already
  );
}

const desk = new Desk();
const asking = new Asking(() => new Worker("worker.js", { type: "module" }));
const checking = new Checking(asking, desk, {
  looked(paper) {
    text.looked(paper);
    draw();
    if (paper === desk.current && !checking.isStale(paper)) views.renew();
  },
  colours: (_paper, tokens) => text.colours(tokens),
});
const context: Context = { asking, desk, goTo, lineText, rule, say };
const text = new TextView(desk, asking, () => checking, { say, hear }, { goTo, lineText, rule });
const views = new Views({
  text,
  sheet: new SheetView(context),
  setup: new SetupView(context),
  compare: new CompareView(context),
  unchecked: new UncheckedView(context),
  values: new ValuesView(context),
});
const tray = new Tray(
  byId("tray-title"),
  byId("tray"),
  (path) => {
    const paper = desk.papers.get(path);
    if (paper !== undefined) take(paper);
  },
  () => draw(),
);
const files = new Files(desk, asking, checking, say, take);

function ofCurrent(act: (paper: Paper) => void): void {
  if (desk.current !== null) act(desk.current);
}

function stepDocument(by: 1 | -1): void {
  const all = tray.inOrder(desk);
  const at = all.findIndex((each) => each === desk.current) + by;
  const next = all[(at + all.length) % all.length];
  if (next !== undefined) {
    take(next);
    say(next.path);
  }
}

function layExample(): void {
  const example = exampleOn(byId<HTMLInputElement>("day").value || firstDay());
  files.begin(example, example, desk.freeName("example", ".vrx"));
}

/** Starts the checking program anew, with all that lies on the desk. */
function startAnew(): void {
  asking.restart();
  judgeOn(byId<HTMLInputElement>("day").value);
  checking.again();
  if (views.current === "compare") views.turn("text"); // two documents: which of them it was at is not known
  void files.suggestSettings();
  views.renew();
}

function ready({ version, rules, caution }: About): void {
  draw();
  views.renew();
  fill(byId("about"), `rxlint ${version}, ${rules} rules. ${caution}`);
}

function start(): void {
  desk.onChange(draw);
  closeMenus();
  if (matchMedia("(max-width: 46rem)").matches) byId<HTMLDetailsElement>("tray-fold").open = false;
  byId("menu").addEventListener("click", () => {
    const isOpen = byId("top-acts").classList.toggle("open");
    byId("menu").setAttribute("aria-expanded", String(isOpen));
  });
  byId("new").addEventListener("click", () => files.begin(""));
  for (const id of ["example", "example-2"]) byId(id).addEventListener("click", layExample);
  byId("save").addEventListener("click", () => ofCurrent((paper) => files.save(paper)));
  byId("rename").addEventListener("click", () => ofCurrent((paper) => void files.rename(paper)));
  byId("remove").addEventListener("click", () => ofCurrent((paper) => void files.remove(paper)));
  byId("keys").addEventListener("click", showKeys);
  const day = byId<HTMLInputElement>("day");
  day.value = firstDay();
  if (day.value === "") day.value = today(); // what the address names is no day of the calendar
  day.addEventListener("change", () => {
    if (day.value === "") day.value = today(); // an empty field would hide which day holds
    judgeOn(day.value);
  });
  judgeOn(day.value);
  listen({
    note(by) {
      views.turn("text");
      if (!text.margin.step(by, text.editor.line)) say("There are no notes.");
    },
    correct: () =>
      void (
        text.margin.enter(
          (card) => card.at.line <= text.editor.line && text.editor.line <= card.at.end_line,
          "apply",
        ) || say("There is no note at this line.")
      ),
    view: (by) => views.step(by),
    document: stepDocument,
    tell: () => void text.tell(),
    change: () => void text.change(),
    save: () => ofCurrent((paper) => files.save(paper)),
    help: showKeys,
    close: () => text.close(),
  });
  files.begin("");
  const ended = (): void => {
    checking.ended();
    views.renew();
  };
  showLoading(asking, say, ready, ended, startAnew);
  keepForLater(byId("kept"));
}

start();

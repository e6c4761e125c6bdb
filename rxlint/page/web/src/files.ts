/** What happens to files: brought, begun, saved, renamed, taken off the desk. */

import { type Asking, Unanswered, unlessSuperseded } from "./asking";
import { type Brought, isHidden, ofDrop, ofInput, paperOf, tell } from "./bring";
import type { Checking } from "./checking";
import { type Desk, type Paper, cleaned, fileBytes, isUnsaved, kindOf, nameOf, written } from "./desk";
import { asked, askedText } from "./dialogs";
import { button, byId, fill, h } from "./dom";
import { REPORTS, save } from "./keep";
import type { Affected, ReportText, SettingsText } from "./shapes";
import { counted } from "./words";

const NAMED = 10; // as many files are named in a question about many

export class Files {
  private bringing: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly desk: Desk,
    private readonly asking: Asking,
    private readonly checking: Checking,
    private readonly say: (text: string) => void,
    private readonly take: (paper: Paper) => void,
  ) {
    this.input("open-files");
    this.input("open-folder");
    this.drops();
    this.reports();
    addEventListener("beforeunload", (event) => {
      if (desk.hasUnsaved) event.preventDefault();
    });
  }

  private input(id: string): void {
    const input = byId<HTMLInputElement>(id);
    byId(`${id}-button`).addEventListener("click", () => input.click());
    input.addEventListener("change", () => {
      if (input.files) void this.bring(ofInput(input.files));
      input.value = ""; // so that the same file can be opened again
    });
  }

  private drops(): void {
    let depth = 0;
    const mark = (): void => void document.body.classList.toggle("dropping", depth > 0);
    const hasFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes("Files") === true;
    document.addEventListener("dragenter", (event) => {
      if (hasFiles(event)) depth += 1;
      mark();
    });
    document.addEventListener("dragleave", (event) => {
      if (hasFiles(event)) depth = Math.max(0, depth - 1);
      mark();
    });
    document.addEventListener("dragover", (event) => hasFiles(event) && event.preventDefault());
    const dropped = (event: DragEvent): void => {
      if (!hasFiles(event) || event.dataTransfer === null) return;
      event.preventDefault();
      event.stopPropagation(); // else the editor would take the file's text in as well
      depth = 0;
      mark();
      void ofDrop(event.dataTransfer).then((brought) => this.bring(brought));
    };
    document.addEventListener("drop", dropped, { capture: true });
  }

  /** Lays files on the desk, one lot after the other. */
  async bring(brought: readonly Brought[]): Promise<void> {
    const lot = this.bringing.then(() => this.brought(brought));
    this.bringing = lot.catch(() => undefined);
    const laid = await lot;
    if (laid.length > 0) await this.tell(laid);
  }

  /** Nothing that lies there is replaced without being asked about, and what is left out is told. */
  private async brought(brought: readonly Brought[]): Promise<readonly Paper[]> {
    const seen = brought.filter(({ path }) => !isHidden(path));
    const papers = await Promise.all(seen.map((each) => paperOf(each)));
    const laid = new Map<string, Paper>();
    const others: Paper[] = []; // of a name that is there already, and say something else
    let same = 0;
    for (const paper of papers) {
      const there = laid.get(paper.path) ?? this.desk.papers.get(paper.path);
      if (there === undefined) laid.set(paper.path, paper);
      else if (isSame(there, paper)) same += 1;
      else others.push(paper);
    }
    for (const paper of await this.replacing(others, laid)) laid.set(paper.path, paper);
    const all = [...laid.values()];
    if (all.length > 0) this.lay(all);
    this.sayBrought(all.length, papers.length - all.length - same, same, brought.length - seen.length);
    return all;
  }

  private sayBrought(laid: number, refused: number, same: number, left: number): void {
    const told = [
      `${counted(laid, "file")} laid on the desk`,
      same ? `${same} lay there already, the same to the letter` : "",
      refused ? `${refused} not taken` : "",
      left ? `${counted(left, "hidden file")} left out` : "",
    ];
    this.say(`${told.filter((each) => each).join("; ")}.`);
  }

  private lay(papers: readonly Paper[]): void {
    const { current } = this.desk;
    if (current !== null && current.saved === null && current.text?.trim() === "") this.forget(current);
    for (const each of papers) {
      this.desk.put(each);
      this.asking.newText(each.path);
    }
    const first = papers.find((each) => each.kind === "document") ?? papers[0];
    if (first !== undefined) this.take(first);
    this.desk.changed();
  }

  private async tell(papers: readonly Paper[]): Promise<void> {
    try {
      await tell(this.asking, papers, () => this.desk.changed());
    } catch (fault) {
      if (!(fault instanceof Unanswered)) throw fault;
      for (const each of papers) each.fault = fault.message;
    }
    this.checking.took(papers);
    const { current } = this.desk;
    if (current?.unreadable && papers.includes(current)) this.take(current);
    for (const each of papers) if (each.text !== null && each.text !== each.saved) this.checking.typed(each); // written in meanwhile
    this.desk.changed();
    await this.suggestSettings();
  }

  /** Those of some files that are to take the place of what is there: asked for all at once, or one by one. */
  private async replacing(others: readonly Paper[], laid: ReadonlyMap<string, Paper>): Promise<readonly Paper[]> {
    if (others.length > 1) {
      const unsaved = others.filter(({ path }) => this.isUnsavedHere(path)).length;
      const answer = await asked(
        `${others.length} of these files have a name that is there already`,
        [
          `They say something else than what is there.${unsaved ? ` Changes that are not saved in ${counted(unsaved, "file")} would be lost.` : ""}`,
          h("ul", {}, ...others.slice(0, NAMED).map(({ path }) => h("li", {}, path))),
          others.length > NAMED ? `and ${others.length - NAMED} more` : "",
        ],
        [
          { text: "Keep what is there", value: "none" },
          { text: "Ask me for each", value: "each" },
          { text: "Put all the new ones in their place", value: "all" },
        ],
      );
      if (answer !== "each") return answer === "all" ? others : [];
    }
    const chosen: Paper[] = [];
    for (const each of others) if (await this.mayReplace(each.path, laid.has(each.path))) chosen.push(each);
    return chosen;
  }

  private isUnsavedHere(path: string): boolean {
    const there = this.desk.papers.get(path);
    return there !== undefined && isUnsaved(there);
  }

  private async mayReplace(path: string, cameTwice: boolean): Promise<boolean> {
    const lost = this.isUnsavedHere(path) ? " What you changed in it is not saved and would be lost." : "";
    const answer = await asked(
      cameTwice ? `${path} came twice` : `${path} lies on the desk already`,
      [cameTwice ? "Two files of this name say different things." : `The file that you bring says something else.${lost}`],
      [
        { text: cameTwice ? "Keep the first" : "Keep what lies there", value: false },
        { text: "Put the new one in its place", value: true },
      ],
    );
    return answer === true;
  }

  /** Begins a document of one's own. `saved` is what need not be saved of it: an example laid out as it is. */
  begin(text: string, saved: string | null = null, path = this.desk.freeName("order", ".vrx")): void {
    const { current } = this.desk;
    if (current !== null && current.saved === null && current.text?.trim() === "") this.forget(current);
    const paper = written(path, text, saved);
    this.desk.put(paper);
    this.take(paper);
    this.checking.typed(paper);
    this.desk.changed();
  }

  /** Hands a paper to the browser as a file. */
  save(paper: Paper): void {
    save(nameOf(paper.path), fileBytes(paper));
    if (paper.text !== null && paper.text !== paper.saved) paper.bytes = fileBytes(paper);
    paper.saved = paper.text;
    this.say(`${nameOf(paper.path)} was handed to the browser to save. Look where it keeps downloads.`);
    this.desk.changed();
  }

  async rename(paper: Paper): Promise<void> {
    const named = await askedText("Rename", "Name, with its folder if it has one", paper.path, "Rename");
    const to = named === null ? "" : cleaned(named);
    if (to === "" || to === paper.path) return;
    if (this.desk.papers.has(to)) {
      this.say(`There is a ${to} on the desk already, so nothing was renamed.`);
      return;
    }
    const from = paper.path;
    const { text } = paper;
    if (this.checking.knows(from)) {
      try {
        const { paths } = await this.asking.ask<Affected>("rename", { path: from, to });
        this.desk.rename(paper, to);
        this.checking.renamed(from, to);
        this.checking.affected([...paths, to]);
        if (paper.text !== text) this.writtenMeanwhile(paper, from);
      } catch (fault) {
        this.failed(fault);
        return;
      }
    } else {
      this.desk.rename(paper, to);
      this.checking.renamed(from, to);
    }
    paper.kind = kindOf(to);
    this.take(paper);
    this.desk.changed();
    this.say(`It is called ${to} now.`);
  }

  /** What was written while a paper got its new name went to the old one. */
  private writtenMeanwhile(paper: Paper, from: string): void {
    this.asking.ask<Affected>("remove", { paths: [from] }).catch(unlessSuperseded(() => {})); // it may not have come there
    this.checking.typed(paper);
  }

  async remove(paper: Paper): Promise<void> {
    const lost = isUnsaved(paper)
      ? "What you wrote in it is not saved and would be lost."
      : "There is nothing unsaved in it.";
    const yes = await asked(
      `Take ${paper.path} off the desk?`,
      [lost],
      [
        { text: "Take it off", value: true },
        { text: "Leave it", value: false },
      ],
    );
    if (yes !== true) return;
    this.forget(paper);
    if (this.desk.current === null) this.begin("");
    else this.take(this.desk.current);
    this.desk.changed();
    this.say(`${paper.path} is off the desk.`);
  }

  private forget(paper: Paper): void {
    const wasKnown = this.checking.knows(paper.path);
    this.desk.remove(paper.path);
    this.checking.forget(paper.path);
    if (!wasKnown) return;
    this.asking
      .ask<Affected>("remove", { paths: [paper.path] })
      .then(({ paths }) => this.checking.affected(paths), this.failed);
  }

  private readonly failed = unlessSuperseded((why) => this.say(why));

  private reports(): void {
    const items = REPORTS.map(([format, label, name, type]) =>
      button(label, () => {
        this.asking.ask<ReportText>("report", { format }).then(({ text }) => {
          save(name, text, type);
          const missing = this.desk.documents.filter((each) => each.text?.trim() !== "" && !this.checking.hasTaken(each));
          const but = missing.length ? ` It lacks ${missing.map((each) => each.path).join(", ")}: not taken in.` : "";
          this.say(`The report of all documents was handed to the browser to save, as ${name}.${but}`);
        }, this.failed);
      }),
    );
    fill(byId("report-forms"), ...items);
  }

  /** Rules that no settings file names hold for nothing: says so, and offers to lay such a file on the desk. */
  async suggestSettings(): Promise<void> {
    const place = byId("settings-offer");
    const found = await this.asking
      .ask<SettingsText>("settings", {}, { key: "settings", idle: true })
      .catch(() => null);
    place.hidden = found === null || found.text === "";
    if (found === null || found.text === "") return;
    const lay = (): void => {
      place.hidden = true;
      this.begin(found.text, null, found.path);
    };
    const isThere = this.desk.papers.has(found.path);
    fill(
      place,
      h(
        "p",
        {},
        h("strong", {}, "No document is checked against these yet: "),
        `${found.adds.join(", ")}. A settings file (rxlint.yaml) must name them first.`,
      ),
      isThere
        ? h("details", {}, h("summary", {}, `What ${found.path} could say`), h("pre", {}, found.text))
        : button(`Write ${found.path} for all documents here`, lay),
    );
  }
}

function isSame(one: Paper, other: Paper): boolean {
  if ([one, other].some((each) => each.text === null && each.bytes === null)) return false; // not read, so not known
  const first = fileBytes(one);
  const second = fileBytes(other);
  return first.length === second.length && first.every((byte, at) => byte === second[at]);
}

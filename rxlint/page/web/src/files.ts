/** What happens to files: brought, begun, saved, renamed, taken off the desk. */

import { type Asking, Unanswered, unlessSuperseded } from "./asking";
import { type Brought, isHidden, ofDrop, ofInput, paperOf, tell } from "./bring";
import type { Checking } from "./checking";
import { type Desk, type Paper, fileBytes, isUnsaved, kindOf, nameOf, written } from "./desk";
import { asked, askedText } from "./dialogs";
import { button, byId, fill, h } from "./dom";
import { REPORTS, save } from "./keep";
import type { Affected, ReportText, SettingsText } from "./shapes";
import { counted } from "./words";

export class Files {
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

  /** Lays files on the desk. Nothing there is replaced without being asked about, and what is left out is told. */
  async bring(brought: readonly Brought[]): Promise<void> {
    const seen = brought.filter(({ path }) => !isHidden(path));
    const papers = await Promise.all(seen.map((each) => paperOf(each)));
    const laid: Paper[] = [];
    let same = 0;
    for (const paper of papers) {
      const there = this.desk.papers.get(paper.path);
      if (there !== undefined && isSame(there, paper)) same += 1;
      else if (there === undefined || (await this.mayReplace(there))) laid.push(paper);
    }
    if (laid.length > 0) this.lay(laid);
    const left = brought.length - seen.length;
    const told = [
      `${counted(laid.length, "file")} laid on the desk`,
      same ? `${same} lay there already, the same to the letter` : "",
      papers.length - laid.length - same ? `${papers.length - laid.length - same} not taken` : "",
      left ? `${counted(left, "hidden file")} left out` : "",
    ];
    this.say(`${told.filter((each) => each).join("; ")}.`);
    if (laid.length > 0) await this.tell(laid);
  }

  private lay(papers: readonly Paper[]): void {
    const { current } = this.desk;
    if (current !== null && current.saved === null && current.text?.trim() === "") this.forget(current);
    for (const each of papers) this.desk.put(each);
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

  private async mayReplace(there: Paper): Promise<boolean> {
    const lost = isUnsaved(there) ? " What you changed in it is not saved and would be lost." : "";
    const answer = await asked(
      `${there.path} lies on the desk already`,
      [`The file that you bring says something else.${lost}`],
      [
        { text: "Keep what lies there", value: false },
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
    this.say(`${nameOf(paper.path)} was handed to the browser to save.`);
    this.desk.changed();
  }

  async rename(paper: Paper): Promise<void> {
    const to = await askedText("Rename", "Name, with its folder if it has one", paper.path, "Rename");
    if (to === null || to === "" || to === paper.path) return;
    if (this.desk.papers.has(to)) {
      this.say(`There is a ${to} on the desk already, so nothing was renamed.`);
      return;
    }
    const from = paper.path;
    if (this.checking.knows(from)) {
      try {
        const { paths } = await this.asking.ask<Affected>("rename", { path: from, to });
        this.desk.rename(paper, to);
        this.checking.renamed(from, to);
        this.checking.affected([...paths, to]);
      } catch (fault) {
        this.failed(fault);
        return;
      }
    } else this.desk.rename(paper, to);
    paper.kind = kindOf(to);
    this.take(paper);
    this.desk.changed();
    this.say(`It is called ${to} now.`);
  }

  async remove(paper: Paper): Promise<void> {
    const lost = isUnsaved(paper)
      ? "What you wrote in it is not saved and would be lost."
      : "The file that you brought stays where you have it.";
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
          this.say(`The report of all documents was handed to the browser to save, as ${name}.`);
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
        h("strong", {}, "These hold for nothing yet: "),
        `${found.adds.join(", ")}. Rules hold where settings (rxlint.yaml) name them.`,
      ),
      isThere
        ? h("details", {}, h("summary", {}, `What ${found.path} could say`), h("pre", {}, found.text))
        : button(`Write ${found.path} for all documents here`, lay),
    );
  }
}

function isSame(one: Paper, other: Paper): boolean {
  const first = fileBytes(one);
  const second = fileBytes(other);
  return first.length === second.length && first.every((byte, at) => byte === second[at]);
}

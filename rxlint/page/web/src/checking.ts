/** Keeps the program told of every text, and what is known of each paper fresh: first of the one in hand, the rest in idle time. */

import { type Asking, NOT_RUNNING, Superseded, Unanswered } from "./asking";
import { tellSome } from "./bring";
import { type Desk, type Paper, fileText } from "./desk";
import type { Affected, Coloured, Look } from "./shapes";

export interface Told {
  /** A look at a paper came, or why there is none. */
  looked(paper: Paper): void;
  colours(paper: Paper, tokens: readonly Coloured[]): void;
}

export class Checking {
  /** Papers that the program has heard of. */
  private readonly known = new Set<string>();
  private readonly stale = new Set<string>();
  /** Papers of which the program has an older text, since it did not take the newest: no look is of what is shown. */
  private readonly untold = new Set<string>();

  constructor(
    private readonly asking: Asking,
    private readonly desk: Desk,
    private readonly told: Told,
  ) {}

  /** Whether the program has a paper as it is. */
  hasTaken(paper: Paper): boolean {
    const isGiven = paper.text !== null || paper.bytes !== null;
    return isGiven && this.known.has(paper.path) && !this.untold.has(paper.path) && paper.fault === "";
  }

  isStale(paper: Paper): boolean {
    return this.stale.has(paper.path);
  }

  /** A paper's text is new. An empty one that the program never heard of is not told to it: there is nothing to check. */
  typed(paper: Paper): void {
    this.asking.newText(paper.path);
    if (fileText(paper).trim() === "" && !this.known.has(paper.path)) {
      paper.look = null;
      paper.fault = "";
      this.told.looked(paper);
      return;
    }
    this.known.add(paper.path);
    this.stale.add(paper.path);
    this.put(paper);
    this.look(paper);
  }

  private put(paper: Paper): void {
    const text = fileText(paper);
    this.run(paper, async () => {
      const { path } = paper;
      const { paths } = await this.asking.ask<Affected>("put", { path, text }, { key: `put ${path}` }).catch((fault) => {
        if (fault instanceof Unanswered) {
          this.untold.add(path);
          paper.fault = "";
        }
        throw fault;
      });
      this.untold.delete(path);
      this.affected(paths.filter((each) => each !== path)); // of itself a look is on its way
    });
  }

  /** Papers were taken in by the program. */
  took(papers: readonly Paper[]): void {
    for (const each of papers) {
      if (!this.asking.unheard.has(each.path)) this.known.add(each.path);
      this.untold.delete(each.path);
    }
    this.affected([...this.desk.papers.keys()]);
  }

  /**
   * The program was started anew and has heard of nothing: it is told of all that lies here, rules first, and all is
   * looked at, the paper in hand first. Everything is asked at once, so what is written from now on comes behind it.
   */
  again(): void {
    this.stale.clear();
    this.untold.clear();
    const papers = [...this.desk.sorted(true), ...this.desk.sorted(false)].filter((each) => this.isToBeTold(each));
    for (const paper of papers) {
      this.known.add(paper.path);
      if (!this.isLeftOut(paper)) {
        this.stale.add(paper.path);
        paper.fault = "";
      }
      const isAsBrought = paper.bytes !== null && paper.text === paper.saved;
      // One by one, so that it is known which one the program does not come to an end with.
      if (isAsBrought) this.run(paper, () => tellSome(this.asking, [paper], `again ${paper.path}`));
      else this.put(paper);
    }
    for (const paper of papers) this.look(paper);
    for (const paper of this.desk.papers.values()) this.told.looked(paper);
  }

  private isToBeTold(paper: Paper): boolean {
    if (this.asking.unheard.has(paper.path)) {
      this.known.delete(paper.path);
      this.isLeftOut(paper);
      return false;
    }
    if (paper.bytes !== null) return true;
    if (paper.text === null) return false;
    if (paper.text.trim() !== "" || this.known.has(paper.path)) return true;
    paper.fault = ""; // an empty one: nothing is said of it
    return false;
  }

  /** Whether a paper is left out until its text changes; it says so then. */
  private isLeftOut(paper: Paper): boolean {
    const why = this.asking.leftOut.get(paper.path);
    if (why === undefined) return false;
    this.stale.delete(paper.path);
    paper.look = null;
    paper.fault = why;
    return true;
  }

  forget(path: string): void {
    this.asking.newText(path);
    this.known.delete(path);
    this.stale.delete(path);
    this.untold.delete(path);
  }

  /** The program has stopped: nothing that was found is kept up any more, so nothing of it is shown. */
  ended(): void {
    this.stale.clear();
    for (const paper of this.desk.papers.values()) {
      paper.look = null;
      paper.fault = NOT_RUNNING;
      this.told.looked(paper);
    }
  }

  renamed(from: string, to: string): void {
    this.asking.renamed(from, to);
    if (!this.known.has(from)) return;
    this.forget(from);
    this.known.add(to);
  }

  knows(path: string): boolean {
    return this.known.has(path);
  }

  /** Papers may come out otherwise now. */
  affected(paths: readonly string[]): void {
    for (const path of paths) {
      const paper = this.desk.papers.get(path);
      if (paper === undefined || !this.known.has(path) || this.isLeftOut(paper)) continue;
      this.stale.add(path);
      if (paper !== this.desk.current) this.told.looked(paper); // that it waits is told at once, however long it takes
      this.look(paper);
    }
  }

  /** Looks at a paper: at once where it is in hand, else when there is nothing else to do. */
  look(paper: Paper): void {
    if (!this.known.has(paper.path) || this.isLeftOut(paper)) return;
    const isCurrent = paper === this.desk.current;
    const { text } = paper;
    this.run(paper, async () => {
      const look = await this.asking.ask<Look>(
        "look",
        { path: paper.path },
        { key: `look ${paper.path}`, idle: !isCurrent },
      );
      if (paper.text !== text) return; // a newer question is on its way
      if (this.untold.has(paper.path)) return; // it is of an older text
      this.stale.delete(paper.path);
      paper.look = look;
      paper.fault = "";
      this.told.looked(paper);
    });
    if (isCurrent && paper.text !== null) this.colour(paper);
  }

  private colour(paper: Paper): void {
    const { text } = paper;
    this.run(paper, async () => {
      const { tokens } = await this.asking.ask<{ tokens: Coloured[] }>(
        "colours",
        { path: paper.path },
        { key: "colours" },
      );
      if (paper === this.desk.current && paper.text === text) this.told.colours(paper, tokens);
    });
  }

  private run(paper: Paper, work: () => Promise<void>): void {
    work().catch((fault: unknown) => {
      if (fault instanceof Superseded) return;
      if (!(fault instanceof Unanswered)) throw fault;
      this.stale.delete(paper.path);
      paper.look = null;
      if (!this.untold.has(paper.path) || paper.fault === "") paper.fault = fault.message;
      this.told.looked(paper);
    });
  }
}

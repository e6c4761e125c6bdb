/**
 * Questions to the program in the worker, one at a time. What waits under a key gives way to a newer question of that key;
 * idle questions are asked while no other waits.
 */

import type { About, Fault } from "./shapes";

/** The answer is no longer wanted: a newer question took its place. */
export class Superseded extends Error {}

/** The program's own words about why there is no answer. */
export class Unanswered extends Error {}

export interface Loading {
  done: number;
  total: number;
  what: string;
}

type FromWorker =
  { loading: Loading } | { ready: true; about: About } | { failed: string } | { id: number; answer: string };

interface Waiting {
  key: string;
  question: string;
  /** The file that it asks about, as long as its text is the one that was asked about; "" where it is no single one. */
  about: string;
  isTelling: boolean;
  done: (answer: string) => void;
  failed: (why: Error) => void;
}

interface Manner {
  /** Questions of the same key give way to the newest. */
  key?: string;
  /** Asked only while nothing else waits. */
  idle?: boolean;
}

/** What carries messages to and from the program; a `Worker` is one. */
export interface Carrier {
  postMessage(message: { id: number; question: string }): void;
  addEventListener(type: "message", listener: (event: MessageEvent<FromWorker>) => void): void;
  addEventListener(type: "error" | "messageerror", listener: (event: Event) => void): void;
  terminate(): void;
}

export const NOT_RUNNING = "The checking program is not running.";
const SILENCE_MS = 60_000;
const SILENT =
  "The checking program has not answered for a minute. It may still come to an end: you can wait. You can also start it anew; close other tabs if the computer is slow.";
const ANEW = "The checking program was started anew before it had answered.";
/** Why a file is left out: the program was at it when it was given up. */
export const UNFINISHED =
  "the checking program did not finish with it; it is asked again when the text is changed.";
/** Why a file is left out: the program was at it when it came to a stop. */
export const STOPPED_AT = "the checking program came to a stop at it; it is asked again when the text is changed.";
const BROKEN =
  "The checking program could not be started. Start it anew. If that does not help, this browser may be too old, or the folder of this page may lack files: tell whoever put it there.";

/** The one file that is asked about. */
function aboutOf(given: Record<string, unknown>): string {
  const { path, files } = given as { path?: string; files?: readonly { path: string }[] };
  return path ?? (files?.length === 1 ? (files[0]?.path ?? "") : "");
}

/** Questions that tell the program something of a file and screen nothing: they may name one that is left out. */
const TELLING: ReadonlySet<string> = new Set(["put", "take", "remove", "rename"]);

function readAnswer<T>(answer: string): T | Fault {
  try {
    return JSON.parse(answer) as T | Fault;
  } catch {
    return { fault: "a fault of this program: its answer can't be read" }; // the questions behind it go on
  }
}

export class Asking {
  onLoading: (loading: Loading) => void = () => {};
  onReady: (about: About) => void = () => {};
  /** `isFinal` is false where an answer may still come. */
  onFailed: (why: string, isFinal: boolean) => void = () => {};
  /** It answers again after it was given up. */
  onBack: () => void = () => {};
  /** Files about which nothing is asked until their text changes, and why. */
  readonly leftOut = new Map<string, string>();
  /** Those of them that the program is not even told of. The others it knows: what is found elsewhere may hang on them. */
  readonly unheard = new Set<string>();
  private carrier: Carrier;
  private isReady = false;
  private hasFailed = false;
  private isSilent = false;
  private inFlight: Waiting | null = null;
  /** What the program was at when it was last found silent, or came to a stop. */
  private held: Waiting | null = null;
  private waiting: Waiting[] = [];
  private idle: Waiting[] = [];
  private number = 0;
  private watch: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly start: () => Carrier) {
    this.carrier = this.started();
  }

  private started(): Carrier {
    const carrier = this.start();
    const unlessOld = (act: () => void): void => {
      if (carrier === this.carrier) act(); // what an earlier one still had to say is of no use
    };
    carrier.addEventListener("message", (event) => unlessOld(() => this.heard(event.data)));
    carrier.addEventListener("error", () => unlessOld(() => this.fail(BROKEN, true)));
    carrier.addEventListener("messageerror", () => unlessOld(() => this.fail(BROKEN, true)));
    this.watched();
    return carrier;
  }

  get ready(): boolean {
    return this.isReady;
  }

  /** The file that the program does not come to an end with, or came to a stop at; "" where there is none. */
  get heldBy(): string {
    return this.held?.about ?? "";
  }

  /**
   * Gives the program up, with all that was asked of it, and starts it anew: it knows of no file then. The file that
   * it was at is left out from now on.
   */
  restart(): void {
    this.carrier.terminate();
    if (this.heldBy) {
      this.leftOut.set(this.heldBy, this.hasFailed ? STOPPED_AT : UNFINISHED);
      if (this.held?.isTelling) this.unheard.add(this.heldBy);
    }
    const given = this.takeAll();
    this.held = null;
    this.isReady = false;
    this.hasFailed = false;
    this.isSilent = false;
    this.number += 1;
    this.carrier = this.started();
    // Who gave a key is used to newer questions, and asks again.
    for (const each of given) each.failed(each.key ? new Superseded(each.key) : new Unanswered(ANEW));
  }

  /** A file has another text, or is gone: what the program did with the one before says nothing of it. */
  newText(path: string): void {
    this.leftOut.delete(path);
    this.unheard.delete(path);
    for (const each of [this.inFlight, this.held]) if (each?.about === path) each.about = "";
  }

  /** A file has another name. */
  renamed(from: string, to: string): void {
    const why = this.leftOut.get(from);
    this.leftOut.delete(from);
    if (why !== undefined) this.leftOut.set(to, why);
    if (this.unheard.delete(from)) this.unheard.add(to);
  }

  /** Why nothing is asked about the files that a question names; "" where it can be asked. */
  private whyNot(name: string, given: Record<string, unknown>): string {
    if (this.hasFailed) return NOT_RUNNING;
    if (TELLING.has(name)) return "";
    const [first] = this.leftOut;
    if (name === "report" && first !== undefined)
      return `No report of all documents: in ${first[0]} nothing is checked. Take it off the desk first.`;
    for (const key of ["path", "old", "new", "before"]) {
      const why = this.leftOut.get(String(given[key]));
      if (why !== undefined) return `${String(given[key])} is not checked: ${why}`;
    }
    return "";
  }

  /** Asks. Rejects with `Superseded` where a newer question took its place, with `Unanswered` where there is no answer. */
  ask<T extends object | null>(name: string, given: Record<string, unknown> = {}, manner: Manner = {}): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      const whyNot = this.whyNot(name, given);
      if (whyNot) {
        reject(new Unanswered(whyNot));
        return;
      }
      const key = manner.key ?? "";
      if (key) this.drop(key);
      const done = (answer: string): void => {
        const read = readAnswer<T>(answer);
        if (read !== null && "fault" in read) reject(new Unanswered(read.fault));
        else resolve(read as T);
      };
      (manner.idle ? this.idle : this.waiting).push({
        key,
        question: JSON.stringify({ ask: name, ...given }),
        about: aboutOf(given),
        isTelling: TELLING.has(name),
        done,
        failed: reject,
      });
      this.next();
    });
  }

  private drop(key: string): void {
    for (const queue of [this.waiting, this.idle]) {
      const at = queue.findIndex((each) => each.key === key);
      if (at >= 0) queue.splice(at, 1)[0]?.failed(new Superseded(key));
    }
  }

  private next(): void {
    if (!this.isReady || this.inFlight !== null) return;
    const next = this.waiting.shift() ?? this.idle.shift();
    if (next === undefined) return;
    this.inFlight = next;
    this.number += 1;
    this.carrier.postMessage({ id: this.number, question: next.question });
    this.watched();
  }

  private heard(message: FromWorker): void {
    if (this.isSilent) {
      this.isSilent = false;
      this.held = null;
      this.onBack();
    }
    if ("loading" in message) {
      this.onLoading(message.loading);
      this.watched();
    } else if ("ready" in message) {
      if (this.hasFailed) return; // it was told that nothing is checked, and questions were turned away
      this.isReady = true;
      clearTimeout(this.watch);
      this.onReady(message.about);
      this.next();
    } else if ("failed" in message) this.fail(message.failed, true);
    else if (message.id === this.number) this.answered(message.answer);
  }

  private answered(answer: string): void {
    clearTimeout(this.watch);
    const done = this.inFlight;
    this.inFlight = null;
    done?.done(answer);
    this.next();
  }

  private watched(): void {
    clearTimeout(this.watch);
    this.watch = setTimeout(() => this.fail(SILENT, false), SILENCE_MS);
  }

  private fail(why: string, isFinal: boolean): void {
    clearTimeout(this.watch);
    this.isSilent = !isFinal;
    this.held = this.inFlight ?? this.held;
    this.onFailed(why, isFinal);
    if (!isFinal) return;
    this.hasFailed = true;
    for (const each of this.takeAll()) each.failed(new Unanswered(why));
  }

  /** All that was asked and is not answered; none of it is kept. */
  private takeAll(): Waiting[] {
    const all = [...(this.inFlight ? [this.inFlight] : []), ...this.waiting, ...this.idle];
    this.inFlight = null;
    this.waiting = [];
    this.idle = [];
    return all;
  }
}

/** For answers that may be given up: nothing is told of a newer question, all else is handed on. */
export function unlessSuperseded(tell: (why: string) => unknown): (fault: unknown) => void {
  return (fault) => {
    if (fault instanceof Superseded) return;
    if (fault instanceof Unanswered) tell(fault.message);
    else throw fault;
  };
}

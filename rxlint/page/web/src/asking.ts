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
}

export const NOT_RUNNING = "The checking program is not running.";
const SILENCE_MS = 60_000;
const SILENT =
  "The checking program has not answered for a minute. Your text is still here: save it first. Then load the page anew; close other tabs if the computer is slow.";
const BROKEN =
  "The checking program could not be started. Load the page anew. If that does not help, this browser may be too old, or the folder of this page may lack files: tell whoever put it there.";

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
  private isReady = false;
  private hasFailed = false;
  private isSilent = false;
  private inFlight: Waiting | null = null;
  private waiting: Waiting[] = [];
  private idle: Waiting[] = [];
  private number = 0;
  private watch: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly carrier: Carrier) {
    carrier.addEventListener("message", (event) => this.heard(event.data));
    carrier.addEventListener("error", () => this.fail(BROKEN, true));
    carrier.addEventListener("messageerror", () => this.fail(BROKEN, true));
    this.watched();
  }

  get ready(): boolean {
    return this.isReady;
  }

  /** Asks. Rejects with `Superseded` where a newer question took its place, with `Unanswered` where there is no answer. */
  ask<T extends object | null>(name: string, given: Record<string, unknown> = {}, manner: Manner = {}): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      if (this.hasFailed) {
        reject(new Unanswered(NOT_RUNNING));
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
    this.onFailed(why, isFinal);
    if (!isFinal) return;
    this.hasFailed = true;
    const all = [...(this.inFlight ? [this.inFlight] : []), ...this.waiting, ...this.idle];
    this.inFlight = null;
    this.waiting = [];
    this.idle = [];
    for (const each of all) each.failed(new Unanswered(why));
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

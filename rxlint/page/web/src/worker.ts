/**
 * The page's worker: starts the program, tells how far it is, and answers questions one after another.
 *
 * A worker that comes from a server has the security policy of its own answer there, not that of the page that made
 * it. So it keeps its own rule: nothing is fetched but files of its folder.
 */

import { asking, boot, type Ask, type Start, type Surroundings } from "./runtime.js";
import { wordsOf, Missing } from "./failing.js";

declare const self: DedicatedWorkerGlobalScope;

interface Question {
  id: number;
  question: string;
}

const folder = new URL("./", self.location.href).href;
const told = { done: 0, total: 0, what: "Starting" };
const waiting: Question[] = [];
let ask: Ask | undefined;
let sent = 0;

function tell(what = told.what, always = true): void {
  told.what = what;
  const now = performance.now();
  if (always || now - sent > 50) {
    sent = now;
    self.postMessage({ loading: { ...told } });
  }
}

/** The body of an answer, counted while it comes. */
function counted(answer: Response, type: string | undefined): Response {
  if (answer.body === null) return answer;
  const counter = new TransformStream<Uint8Array, Uint8Array>({
    transform(chunk, controller) {
      told.done += chunk.byteLength;
      tell(told.what, false);
      controller.enqueue(chunk);
    },
  });
  const headers = new Headers(answer.headers);
  // Some servers do not know what a .wasm is, and the browser takes none that is called something else.
  if (type !== undefined) headers.set("Content-Type", type);
  return new Response(answer.body.pipeThrough(counter), { status: answer.status, headers });
}

/** Pyodide waits for ever for a file that does not come, or that the browser can't run; this does not. */
let giveUp: (why: unknown) => void = () => undefined;
const broken = new Promise<never>((_, reject) => {
  giveUp = reject;
});

const fetched = self.fetch.bind(self);

self.fetch = async (input, options) => {
  const url = input instanceof Request ? input.url : new URL(String(input), folder).href;
  if (!url.startsWith(folder)) throw new Error(`This page fetches nothing from elsewhere: ${url}`);
  const path = url.slice(folder.length);
  const answer = await fetched(input, options).catch(() => undefined);
  if (answer === undefined || !answer.ok) {
    const missing = new Missing(path, answer?.status);
    giveUp(missing);
    throw missing;
  }
  return counted(answer, path.endsWith(".wasm") ? "application/wasm" : undefined);
};

function watchInstantiation(): void {
  const instantiated = WebAssembly.instantiateStreaming.bind(WebAssembly);
  WebAssembly.instantiateStreaming = async (source, imports) => {
    try {
      return await instantiated(source, imports);
    } catch (error) {
      giveUp(error);
      throw error;
    }
  };
}

async function read(path: string): Promise<Uint8Array> {
  return new Uint8Array(await (await self.fetch(folder + path)).arrayBuffer());
}

const around: Surroundings = {
  indexURL: `${folder}python/`,
  module: `${folder}python/pyodide.mjs`,
  read,
  step: (what) => tell(what),
};

/** The user's own date: Python in a browser goes by the browser's clock, but the day is ours to give. */
function today(): string {
  const now = new Date();
  const two = (number: number): string => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function reply({ id, question }: Question, answering: Ask): void {
  self.postMessage({ id, answer: answering(question) });
}

async function start(): Promise<void> {
  watchInstantiation(); // throws where there is no WebAssembly
  const plan = JSON.parse(new TextDecoder().decode(await read("start.json"))) as Start;
  told.done = 0;
  told.total = [...plan.python, ...plan.archives].reduce((sum, each) => sum + each.bytes, 0);
  const python = await boot(around, plan.archives.map((each) => each.path));
  const answering = asking(around, python, today());
  const about: unknown = JSON.parse(answering(JSON.stringify({ ask: "about" })));
  self.postMessage({ ready: true, about });
  ask = answering;
  for (const each of waiting.splice(0)) reply(each, answering);
}

self.addEventListener("message", (event: MessageEvent<Question>) => {
  if (ask === undefined) waiting.push(event.data);
  else {
    try {
      reply(event.data, ask);
    } catch (error) {
      self.postMessage({ failed: wordsOf(error, true) });
    }
  }
});

Promise.race([start(), broken]).catch((error: unknown) => self.postMessage({ failed: wordsOf(error) }));

/** Why the program did not start, in plain words, with what to try. */

/** A file of the folder that did not come. `status` is the server's answer; without one the server was not reached. */
export class Missing extends Error {
  constructor(
    readonly path: string,
    readonly status: number | undefined,
  ) {
    super(status === undefined ? `${path} did not come` : `${path} did not come (answer ${status})`);
    this.name = "Missing";
  }
}

const SHORT = /out of memory|could not allocate|allocation failed|memory access|cannot enlarge memory/i;
const LAST_LINE = /[^\n]+(?=\n*$)/;

/** What is shown to a user in place of an error; `running` says that the program had started. */
export function wordsOf(error: unknown, running = false): string {
  const message = error instanceof Error ? error.message : String(error);
  if (error instanceof Missing) {
    return error.status === undefined
      ? `The server can't be reached: ${error.path} did not come. Look whether there is a connection, then load the page again.`
      : `A part of the page is missing: the server has no ${error.path} (its answer was ${error.status}). ` +
          "Whoever put the page there should copy the whole folder again.";
  }
  if (/\bWebAssembly\b.*(not defined|undefined)|find variable: WebAssembly/.test(message)) {
    return "This browser can't run the program: WebAssembly is missing or was switched off. Try a newer browser, or ask whoever looks after this computer.";
  }
  if (SHORT.test(message)) {
    return "There is too little memory for the program. Close other pages and programs, then load the page again.";
  }
  if (error instanceof Error && /^(CompileError|LinkError)$/.test(error.name)) {
    return `This browser is too old for the program, or the server sent a damaged file (${message}). Try a newer browser.`;
  }
  if (/dynamically imported module|module script failed/i.test(message)) {
    return (
      "A part of the page could not be loaded: python/pyodide.mjs or python/pyodide.asm.mjs is missing, or the server does not send .mjs files as " +
      `text/javascript (${message}). Whoever put the page there should look at that.`
    );
  }
  if (running) return `The program came to a stop: ${LAST_LINE.exec(message)?.[0] ?? message}. Save your texts, then load the page again.`;
  return `The program did not start: ${LAST_LINE.exec(message)?.[0] ?? message}. Load the page again; if that does not help, tell whoever put the page there.`;
}

/**
 * Starts Python and rxlint in it. The worker of the page does so, and so does Node.js when the folder is made and in
 * the tests: nothing here belongs to one of them alone.
 */

import type { PyodideInterface } from "pyodide";
import unpacking from "../../unpack.py";

/** A file that a start reads: its path in the folder, and how many bytes it has. */
export interface Sized {
  path: string;
  bytes: number;
}

/** `start.json`: what a start reads, made with the folder. `python` is read by Pyodide itself. */
export interface Start {
  python: Sized[];
  archives: Sized[];
}

/** What a start needs of the place where it runs. */
export interface Surroundings {
  /** Where the folder's `python/` is, for Pyodide: a URL or a path, with a slash at its end. */
  indexURL: string;
  /** What `pyodide.mjs` is imported as. */
  module: string;
  /** A file of the folder. Rejects with an error that can be shown to a user. */
  read(path: string): Promise<Uint8Array>;
  /** Told before each step of a start. */
  step(what: string): void;
}

interface PyodideModule {
  loadPyodide(options: Record<string, unknown>): Promise<PyodideInterface>;
}

/** Answers questions; see `rxlint/page/asked.py`. Never throws for what a user wrote. */
export type Ask = (question: string) => string;

/** Python with the program in its memory, nothing of it imported yet. `archives` are paths of the folder. */
export async function boot(around: Surroundings, archives: readonly string[]): Promise<PyodideInterface> {
  around.step("Fetching the program");
  const reading = Promise.all(archives.map((path) => around.read(path)));
  reading.catch(() => undefined); // told below, where Python's own failure does not come first
  const { loadPyodide } = (await import(around.module)) as PyodideModule;
  const python = await loadPyodide({
    indexURL: around.indexURL,
    // Without it, packages would be fetched from a server of Pyodide's makers. None is ever fetched.
    packageBaseUrl: around.indexURL,
    // The seed, so that the tables that are kept of the grammars come out the same each time that the folder is made.
    env: { HOME: "/home", RXLINT_CACHE: "/kept", PYTHONDONTWRITEBYTECODE: "1", PYTHONHASHSEED: "0" },
    stdout: (line: string) => console.debug(line),
    stderr: (line: string) => console.debug(line),
  });
  const contents = await reading;
  around.step("Unpacking the program");
  const names = archives.map((path, index) => {
    const name = `/tmp/${path.slice(path.lastIndexOf("/") + 1)}`;
    python.FS.writeFile(name, contents[index] as Uint8Array);
    return name;
  });
  python.globals.set("given", JSON.stringify(names));
  python.runPython(`${unpacking}\nimport json\nunpack(json.loads(given))`);
  return python;
}

/** rxlint, ready for questions. `day` ("YYYY-MM-DD") is the day that dates are judged on. */
export function asking(around: Surroundings, python: PyodideInterface, day: string): Ask {
  around.step("Reading the rules");
  python.globals.set("given", day);
  const answer = python.runPython(`
import datetime, pathlib
from rxlint.page.asked import Asked
from rxlint.page.desk import Desk
Asked(Desk(pathlib.Path(LIBRARY), datetime.date.fromisoformat(given))).answer
`) as (question: string) => string;
  return (question) => answer(question);
}

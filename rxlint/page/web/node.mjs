/**
 * Runs the program of a made folder in Node.js, from the same files as the browser.
 *
 * `node node.mjs FOLDER OUT` writes into the folder OUT what a start would otherwise have to make again
 * (rxlint/page/warm.py).
 * Pyodide imports the package `ws` in Node.js; it has to be found from the folder.
 */

import { readFile, writeFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

/** The runtime of a folder, what it needs of Node.js, and what a start reads. */
export async function runtimeOf(folder) {
  const place = path.resolve(folder);
  const runtime = await import(pathToFileURL(path.join(place, "runtime.js")).href);
  const around = {
    indexURL: path.join(place, "python") + path.sep,
    module: pathToFileURL(path.join(place, "python", "pyodide.mjs")).href,
    read: async (name) => new Uint8Array(await readFile(path.join(place, name))),
    step: () => undefined,
  };
  const start = JSON.parse(await readFile(path.join(place, "start.json"), "utf8"));
  return { runtime, around, archives: start.archives.map((each) => each.path) };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [folder, out] = process.argv.slice(2);
  try {
    const { runtime, around, archives } = await runtimeOf(folder);
    const python = await runtime.boot(around, archives);
    python.runPython("from rxlint.page.warm import make_ready\nmake_ready('/app', '/kept', '/')");
    for (const name of ["ready.zip", "python_stdlib.zip"]) {
      await writeFile(path.join(out, name), python.FS.readFile(`/${name}`));
    }
  } catch (error) {
    console.error(error instanceof Error ? error.message : error); // Python's traceback; JavaScript's own tells nothing
    process.exit(1);
  }
}

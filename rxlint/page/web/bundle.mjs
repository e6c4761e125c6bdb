/**
 * Makes a file for the browser of each entry and the modules that it needs.
 *
 * `node bundle.mjs OUT` makes all but the service worker in the folder OUT; `node bundle.mjs OUT FILES.json` makes the
 * service worker, which holds the list of files.
 */

import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const [out, files] = process.argv.slice(2);
const common = {
  absWorkingDir: fileURLToPath(new URL(".", import.meta.url)),
  bundle: true,
  charset: "utf8",
  legalComments: "none", // licences.txt holds them
  loader: { ".py": "text" },
  logLevel: "warning",
  minify: true,
  outdir: out,
  target: ["es2022"],
};

async function bundle() {
  if (files === undefined) {
    const names = ["page", "sheet", "worker", "runtime"].map((name) => `src/${name}.ts`);
    // Node.js starts the program from the same file as the worker does, so it stays a file of its own.
    await build({ ...common, entryPoints: names, format: "esm", external: ["./runtime.js"] });
  } else {
    const define = { FOLDER: await readFile(files, "utf8") };
    await build({ ...common, entryPoints: ["src/offline.ts"], format: "iife", define });
  }
}

bundle().catch((error) => {
  if (!error.errors) console.error(error); // esbuild has told its own already
  process.exit(1);
});

// Calls functions of the page's scripts: for each line of JSON, [name, ...arguments], a line with what it returns.
// `node parts.mjs WEB` wants WEB to be the page's sources with their packages beside them.

import { createRequire } from "node:module";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";

const web = process.argv[2];
const { build } = createRequire(join(web, "package.json"))("esbuild");
const entry = `
import { Text } from "@codemirror/state";
import * as places from "./src/places.ts";
export { heights } from "./src/margin.ts";
export { htmlOf } from "./src/markdown.ts";
export { taken } from "./src/desk.ts";
export { isHidden } from "./src/bring.ts";
export { groupsOf } from "./src/values_view.ts";
export { daysAfter, exampleOn } from "./src/example.ts";
import { fileBytes, isUnsaved, kindOf, nameOf, written } from "./src/desk.ts";
import { taken } from "./src/desk.ts";
export { kindOf, nameOf };
const lines = (text) => Text.of(text.split("\\n"));
export const offsetOf = (text, line, column) => places.offsetOf(lines(text), line, column);
export const placeOf = (text, offset) => places.placeOf(lines(text), offset);
export const endsOf = (text, at) => places.endsOf(lines(text), at);
const brought = (text) => ({ ...written("a.vrx", taken(text).text, taken(text).text), end: taken(text).end });
export const savedAgain = (text, more) => {
  const paper = brought(text);
  paper.text = paper.text + more;
  return new TextDecoder("utf-8", { ignoreBOM: true }).decode(fileBytes(paper));
};
export const unsaved = (text, saved) => isUnsaved(written("a.vrx", text, saved));
`;
const out = join(web, "parts.mjs");
const stdin = { contents: entry, resolveDir: web, sourcefile: "parts.ts", loader: "ts" };
const made = await build({ stdin, bundle: true, format: "esm", platform: "node", write: false });
await writeFile(out, made.outputFiles[0].contents);
const parts = await import(pathToFileURL(out).href);
for await (const line of createInterface({ input: process.stdin })) {
  const [name, ...given] = JSON.parse(line);
  process.stdout.write(`${JSON.stringify(parts[name](...given) ?? null)}\n`);
}

/**
 * Puts questions to the program of a made folder, as the page's worker does, but in Node.js.
 *
 * `node node_ask.mjs NODE FOLDER DAY QUESTIONS ANSWERS`: NODE is rxlint/page/web/node.mjs, QUESTIONS a file with a JSON
 * list of questions; a list of the answers' texts is written to ANSWERS.
 */

import { readFile, writeFile } from "node:fs/promises";
import { pathToFileURL } from "node:url";

const [node, folder, day, questions, answers] = process.argv.slice(2);
const { runtimeOf } = await import(pathToFileURL(node).href);
const { runtime, around, archives } = await runtimeOf(folder);
const python = await runtime.boot(around, archives);
const ask = runtime.asking(around, python, day);
const asked = JSON.parse(await readFile(questions, "utf8"));
await writeFile(answers, JSON.stringify(asked.map((each) => ask(JSON.stringify(each)))));

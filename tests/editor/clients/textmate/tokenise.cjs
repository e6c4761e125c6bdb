// Colours texts as editors of the VS Code family do, with their own engine.
//
//     node tokenise.cjs GRAMMAR < [TEXT, ...] > [[[[start, end, scope], ...] for each line] for each text]
"use strict";
const fs = require("fs");
const path = require("path");
const oniguruma = require("vscode-oniguruma");
const textmate = require("vscode-textmate");

async function grammar(file) {
  const wasm = fs.readFileSync(path.join(path.dirname(require.resolve("vscode-oniguruma")), "onig.wasm"));
  await oniguruma.loadWASM(wasm);
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => textmate.parseRawGrammar(fs.readFileSync(file, "utf8"), file),
  });
  return registry.loadGrammar("source.vrx");
}

function coloured(rules, text) {
  let state = textmate.INITIAL;
  return text.split("\n").map((line) => {
    const found = rules.tokenizeLine(line, state);
    state = found.ruleStack;
    return found.tokens.map((each) => [each.startIndex, Math.min(each.endIndex, line.length), each.scopes.slice(1).join(" ")]);
  });
}

grammar(process.argv[2]).then((rules) => {
  const texts = JSON.parse(fs.readFileSync(0, "utf8"));
  fs.writeFileSync(1, JSON.stringify(texts.map((text) => coloured(rules, text))));
});

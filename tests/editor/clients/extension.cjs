// Loads the packaged extension as an editor would, with as much of an editor around it as it asks for, opens one order
// and writes to standard output, as JSON, what the extension puts on the screen.
//
//     node extension.cjs EXTENSION.js ORDER.vrx COMMAND [ARGUMENT...]
"use strict";
const fs = require("fs");
const Module = require("module");
const { pathToFileURL, fileURLToPath } = require("url");

const [script, order, ...command] = process.argv.slice(2);
const seen = { registered: [], messages: [], diagnostics: null };
const providers = {};
const disposable = { dispose() {} };
const nothing = () => disposable; // an event that never comes, a registration of no consequence

class Position {
  constructor(line, character) {
    Object.assign(this, { line, character });
  }
}
class Range {
  constructor(start, startCharacter, endLine, endCharacter) {
    const isFlat = typeof start === "number";
    this.start = isFlat ? new Position(start, startCharacter) : start;
    this.end = isFlat ? new Position(endLine, endCharacter) : startCharacter;
  }
}
class Uri {
  constructor(text) {
    this.text = text;
    this.scheme = text.split(":")[0];
    this.fsPath = this.path = this.scheme === "file" ? fileURLToPath(text) : text;
  }
  static parse(text) {
    return new Uri(text);
  }
  static file(path) {
    return new Uri(pathToFileURL(path).href);
  }
  toString() {
    return this.text;
  }
}
class Shaped {
  constructor(...given) {
    this.given = given;
  }
}

const text = fs.readFileSync(order, "utf8");
const document = {
  uri: Uri.file(order), fileName: order, languageId: "vrx", version: 1, isClosed: false, isDirty: false,
  getText: () => text, lineCount: text.split("\n").length,
};

class EventEmitter {
  constructor() {
    this.listeners = [];
    this.event = (listener, self) => {
      this.listeners.push(listener.bind(self));
      return disposable;
    };
  }
  fire(what) {
    this.listeners.forEach((each) => each(what));
  }
  dispose() {}
}
class CancellationTokenSource {
  constructor() {
    this.token = { isCancellationRequested: false, onCancellationRequested: nothing };
  }
  cancel() {}
  dispose() {}
}
class Diagnostic {
  constructor(range, message, severity) {
    Object.assign(this, { range, message, severity });
  }
}
class MarkdownString {
  constructor(value) {
    this.value = value;
  }
  appendCodeblock(value) {
    this.value = value;
  }
}
class Hover {
  constructor(contents, range) {
    Object.assign(this, { contents, range });
  }
}
class Disposable {
  static from() {
    return disposable;
  }
  dispose() {}
}
class TabInputText {
  constructor(uri) {
    this.uri = uri;
  }
}

// Whatever else is asked for: events that never come, registrations of no consequence, classes of no behaviour.
function around(known, name) {
  return new Proxy(known, {
    get(of, key) {
      if (key in of || typeof key === "symbol") return of[key];
      if (/^on[A-Z]/.test(key)) return nothing;
      if (/^register/.test(key)) {
        return (...given) => {
          seen.registered.push(key);
          providers[key] = given.find((each) => each && typeof each === "object" && Object.keys(each).some((one) => /^provide/.test(one)));
          return disposable;
        };
      }
      if (/^[A-Z]/.test(key)) return (of[key] = around(class extends Shaped {}, `${name}.${key}`));
      return undefined;
    },
  });
}

const tab = { input: new TabInputText(document.uri), isActive: true };
const message = (...given) => (seen.messages.push(given[0]), Promise.resolve());
const logged = [];
const channel = around({ name: "rxlint" }, "channel");
for (const kind of ["trace", "debug", "info", "warn", "error", "append", "appendLine"]) {
  channel[kind] = (...given) => void logged.push(given.join(" "));
}
Object.assign(channel, { dispose() {}, show() {}, hide() {}, clear() {}, replace() {} });
const vscode = around({
  Position, Range, Uri, EventEmitter, CancellationTokenSource, Diagnostic, MarkdownString, Hover, TabInputText, Disposable,
  DiagnosticSeverity: { Error: 0, Warning: 1, Information: 2, Hint: 3 },
  __esModule: true, // else it would be copied key by key
  version: "1.91.0",
  env: around({ appName: "a stub", language: "en" }, "env"),
  extensions: around({ all: [], getExtension: () => undefined }, "extensions"),
  commands: around({ executeCommand: () => Promise.resolve() }, "commands"),
  window: around({
    activeTextEditor: { document }, visibleTextEditors: [{ document }],
    tabGroups: around({ all: [{ tabs: [tab], activeTab: tab }], activeTabGroup: { activeTab: tab, tabs: [tab] } }, "tabGroups"),
    createOutputChannel: () => channel,
    showErrorMessage: message, showWarningMessage: message, showInformationMessage: message,
  }, "window"),
  workspace: around({
    textDocuments: [document], notebookDocuments: [], workspaceFolders: undefined,
    getConfiguration: () => ({ get: (name) => (name === "command" ? command : undefined) }),
    createFileSystemWatcher: () => around({ dispose() {} }, "watcher"),
    getWorkspaceFolder: () => undefined,
  }, "workspace"),
  languages: around({
    match: (selector, of) => (JSON.stringify(selector).includes(`"${of.languageId}"`) ? 10 : 0),
    createDiagnosticCollection: () => ({
      set: (uri, found) => {
        seen.diagnostics = found.map((each) => ({
          line: each.range.start.line + 1, column: each.range.start.character + 1, severity: each.severity,
          message: each.message, code: typeof each.code === "object" ? each.code.value : each.code, source: each.source,
        }));
      },
      delete() {}, clear() {}, dispose() {}, has: () => false, get: () => [],
    }),
  }, "languages"),
}, "vscode");

const load = Module._load;
Module._load = (request, ...rest) => (request === "vscode" ? vscode : load(request, ...rest));

async function until(holds) {
  for (let pause = 0; pause < 1200 && !holds(); pause++) await new Promise((resolve) => setTimeout(resolve, 50));
}

(async () => {
  const extension = require(script);
  await extension.activate({ subscriptions: [] });
  await until(() => seen.diagnostics !== null || seen.messages.length > 0);
  const hover = providers.registerHoverProvider;
  if (hover) {
    const line = text.split("\n").findIndex((each) => each.startsWith("  PEEP"));
    const told = await hover.provideHover(document, new Position(line, 3), new CancellationTokenSource().token);
    seen.hover = told ? [told.contents].flat().map((each) => each.value ?? each).join("\n") : null;
  }
  await extension.deactivate();
  fs.writeSync(1, JSON.stringify(seen));
  process.exit(0);
})().catch((fault) => {
  fs.writeSync(2, `${fault && fault.stack}\n${JSON.stringify(seen)}\n${logged.join("\n")}`);
  process.exit(1);
});

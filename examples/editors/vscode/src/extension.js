// Starts rxlint's language server for prescriptions and for the settings and packs of a library.
const vscode = require("vscode");
const { LanguageClient } = require("vscode-languageclient/node");

let client;

async function activate(context) {
  const [command, ...args] = vscode.workspace.getConfiguration("rxlint").get("command");
  const watched = vscode.workspace.createFileSystemWatcher("**/*.{vrx,yaml}");
  context.subscriptions.push(watched);
  client = new LanguageClient(
    "rxlint",
    "rxlint",
    { command, args },
    {
      documentSelector: [
        { language: "vrx" },
        { language: "yaml" }, // settings, packs, policies and profiles; of other YAML the server says nothing
      ],
      synchronize: { fileEvents: watched },
    },
  );
  try {
    await client.start();
  } catch (error) {
    client = undefined; // there is nothing to stop later
    vscode.window.showErrorMessage(
      `rxlint could not be started (${command}): ${error?.message ?? error}. Nothing is screened. ` +
        "Install it with: pip install 'rxlint[editor]'",
    );
  }
}

function deactivate() {
  return client && client.stop();
}

module.exports = { activate, deactivate };

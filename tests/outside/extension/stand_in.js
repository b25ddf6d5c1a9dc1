// Runs the extension in a stand-in for the editor: a text is opened and edited, and what the extension hands the
// editor is looked at.
//
//     node stand_in.js PROGRAM
"use strict";

const assert = require("assert");
const Module = require("module");
const path = require("path");

class Position {
  constructor(line, character) {
    Object.assign(this, { line, character });
  }
}
class Range {
  constructor(start, end) {
    Object.assign(this, { start, end });
  }
  // As the editor's own has it, which is not what the protocol wants.
  toJSON() {
    return [this.start, this.end];
  }
}
const kept = (...names) =>
  class {
    constructor(...values) {
      names.forEach((name, nth) => (this[name] = values[nth]));
    }
  };
class WorkspaceEdit {
  constructor() {
    this.files = [];
  }
  set(uri, edits) {
    this.files.push([uri.text, edits]);
  }
}
class MarkdownString {
  constructor() {
    this.value = "";
  }
  appendText(text) {
    this.value += text;
  }
}

const providers = {};
const faults = new Map();
const listeners = {};
const on = (name) => (listener) => ((listeners[name] = listener), { dispose() {} });
const uri = (text) => ({ text, toString: () => text });
const documents = [];
const settings = { path: process.argv[2], roots: [] };
const vscode = {
  Position,
  Range,
  WorkspaceEdit,
  MarkdownString,
  Location: kept("uri", "range"),
  TextEdit: kept("range", "newText"),
  Diagnostic: kept("range", "message", "severity"),
  DiagnosticRelatedInformation: kept("location", "message"),
  DiagnosticSeverity: { Error: 0, Warning: 1 },
  DocumentSymbol: kept("name", "detail", "kind", "range", "selectionRange"),
  CompletionItem: kept("label", "kind"),
  CodeAction: kept("title", "kind"),
  CodeActionKind: { QuickFix: "quickfix" },
  InlayHint: kept("position", "label"),
  FoldingRange: kept("start", "end"),
  Hover: kept("contents", "range"),
  SemanticTokens: kept("data"),
  SemanticTokensLegend: kept("types", "modifiers"),
  Uri: { parse: uri },
  window: { showErrorMessage: (words) => assert.fail(words) },
  workspace: {
    getConfiguration: () => ({ get: (name) => settings[name] }),
    textDocuments: documents,
    onDidOpenTextDocument: on("open"),
    onDidChangeTextDocument: on("change"),
    onDidCloseTextDocument: on("close"),
    onDidSaveTextDocument: on("save"),
    createFileSystemWatcher: () => ({ onDidCreate: on("a"), onDidChange: on("b"), onDidDelete: on("c") }),
  },
  languages: new Proxy(
    { createDiagnosticCollection: () => ({ set: (uri, all) => faults.set(uri.text, all), clear() {} }) },
    {
      get: (own, name) =>
        own[name] ||
        ((_language, provider) => {
          providers[name.replace(/^register|Provider$/g, "")] = provider;
          return {};
        }),
    },
  ),
};

const load = Module._load;
Module._load = (name, ...rest) => (name === "vscode" ? vscode : load(name, ...rest));
const folder = path.join(__dirname, "../../../editors/flamacue");
const extension = require(path.join(folder, require(path.join(folder, "package.json")).main));

const until = async (words, test) => {
  for (let tries = 0; tries < 600; tries++) {
    if (test()) return;
    await new Promise((done) => setTimeout(done, 100));
  }
  assert.fail(words);
};

async function main() {
  const document = {
    languageId: "flam",
    uri: uri("file:///nowhere/a.flam"),
    version: 1,
    getText: () => "fill gate\n  play s s s s\n  stik R L R L\n\nSee @gate.\n",
  };
  documents.push(document);
  await extension.activate({ subscriptions: [] });
  const told = () => faults.get(document.uri.text);
  await until("no fault was told", () => told() && told().length === 1);
  assert.strictEqual(told()[0].severity, 0);
  assert.strictEqual(told()[0].code, "instrument-unknown");

  const place = new Position(1, 7);
  const hover = await providers.Hover.provideHover(document, place);
  assert.strictEqual(hover.contents.value, "snare, beat 1");
  const items = await providers.CompletionItem.provideCompletionItems(document, place);
  assert(items.some((item) => item.label === "t" && item.detail === "high tom"));
  const [symbol] = await providers.DocumentSymbol.provideDocumentSymbols(document);
  assert.strictEqual(symbol.name, "fill 1");
  const name = new Position(4, 6);
  const given = await providers.Definition.provideDefinition(document, name);
  assert.deepStrictEqual(given.range.start, new Position(0, 5));
  const changed = await providers.Rename.provideRenameEdits(document, name, "door");
  assert.strictEqual(changed.files[0][1].length, 2);
  await assert.rejects(providers.Rename.provideRenameEdits(document, name, "two words"), /can't be a name/);
  const whole = new Range(new Position(0, 0), new Position(4, 0));
  const [mend] = await providers.CodeActions.provideCodeActions(document, whole, {});
  assert.strictEqual(mend.edit.files[0][1][0].newText, "stick");
  const tokens = await providers.DocumentSemanticTokens.provideDocumentSemanticTokens(document);
  assert(tokens.data.length > 0 && tokens.data.length % 5 === 0);
  assert(Array.isArray(await providers.InlayHints.provideInlayHints(document, whole)));
  assert(Array.isArray(await providers.FoldingRange.provideFoldingRanges(document)));
  const options = { tabSize: 2, insertSpaces: true };
  assert(Array.isArray(await providers.DocumentFormattingEdit.provideDocumentFormattingEdits(document, options)));
  const used = { includeDeclaration: true };
  assert.strictEqual((await providers.Reference.provideReferences(document, name, used)).length, 2);

  document.version = 2;
  const range = new Range(new Position(2, 2), new Position(2, 6));
  listeners.change({ document, contentChanges: [{ range, text: "stick" }] });
  await until("the mended fault is told still", () => told().length === 0);
  listeners.save(document);
  listeners.close(document);
  await extension.deactivate();
}

main().catch((error) => {
  console.error(error);
  process.exit(1);
});

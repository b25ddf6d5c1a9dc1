// Starts `flamacue lsp` and hands on what the editor and it say to each other.
"use strict";

const vscode = require("vscode");
const { Connection } = require("./connection.js");
const convert = require("./convert.js")(vscode);

const LANGUAGE = "flam";
const WATCHED = "**/*.{flam,otf,ttf,ttc}";

let connection;

const isOurs = (document) => document.languageId === LANGUAGE;
const named = (document) => ({ uri: document.uri.toString() });
const numbered = (document) => ({ ...named(document), version: document.version });
const at = (document, position) => ({
  textDocument: named(document),
  position: { line: position.line, character: position.character },
});

const plain = ({ start, end }) => ({
  start: { line: start.line, character: start.character },
  end: { line: end.line, character: end.character },
});

// A question to the program. Where it has none, or no answer, the editor shows nothing.
const ask = (method, params, token) =>
  connection.ask(method, params, token).then(undefined, () => null);

async function activate(context) {
  const settings = vscode.workspace.getConfiguration("flamacue");
  const roots = settings.get("roots", []).flatMap((folder) => ["--root", folder]);
  const faults = vscode.languages.createDiagnosticCollection("flamacue");
  context.subscriptions.push(faults);
  const hear = (method, params) => {
    if (method === "textDocument/publishDiagnostics") {
      faults.set(vscode.Uri.parse(params.uri), params.diagnostics.map(convert.diagnostic));
    }
  };
  const gone = (why) => {
    faults.clear();
    if (why) {
      vscode.window.showErrorMessage(
        `Flamacue can't be started (${why.message}). Set flamacue.path to where the program is.`,
      );
    }
  };
  connection = new Connection(settings.get("path", "flamacue"), ["lsp", ...roots], hear, gone);
  const about = await ask("initialize", {
    processId: process.pid,
    rootUri: null,
    capabilities: {
      general: { positionEncodings: ["utf-16"] },
      workspace: {
        workspaceEdit: { documentChanges: true },
        didChangeWatchedFiles: { dynamicRegistration: true },
      },
    },
  });
  if (!about) return;
  connection.tell("initialized", {});
  synchronise(context);
  provide(context, about.capabilities.semanticTokensProvider.legend);
}

// Tells the program which texts are open and how they change, and which files change on the disk.
function synchronise(context) {
  const open = (document) => {
    if (!isOurs(document)) return;
    const textDocument = { ...numbered(document), languageId: LANGUAGE, text: document.getText() };
    connection.tell("textDocument/didOpen", { textDocument });
  };
  const change = ({ document, contentChanges }) => {
    if (!isOurs(document) || contentChanges.length === 0) return;
    connection.tell("textDocument/didChange", {
      textDocument: numbered(document),
      contentChanges: contentChanges.map(({ range, text }) => ({ range: plain(range), text })),
    });
  };
  const close = (document) => {
    if (isOurs(document)) connection.tell("textDocument/didClose", { textDocument: named(document) });
  };
  const save = (document) => {
    if (isOurs(document)) connection.tell("textDocument/didSave", { textDocument: named(document) });
  };
  const files = vscode.workspace.createFileSystemWatcher(WATCHED);
  const changed = (type) => (uri) =>
    connection.tell("workspace/didChangeWatchedFiles", { changes: [{ uri: uri.toString(), type }] });
  context.subscriptions.push(
    vscode.workspace.onDidOpenTextDocument(open),
    vscode.workspace.onDidChangeTextDocument(change),
    vscode.workspace.onDidCloseTextDocument(close),
    vscode.workspace.onDidSaveTextDocument(save),
    files,
    files.onDidCreate(changed(1)),
    files.onDidChange(changed(2)),
    files.onDidDelete(changed(3)),
  );
  vscode.workspace.textDocuments.forEach(open);
}

// Lets the editor ask the program.
function provide(context, legend) {
  const languages = vscode.languages;
  const all = (method, convertOne) => (document, ...rest) => {
    const token = rest[rest.length - 1];
    return ask(method, { textDocument: named(document) }, token).then((a) => a && a.map(convertOne));
  };
  const tokenLegend = new vscode.SemanticTokensLegend(legend.tokenTypes, legend.tokenModifiers);
  const tokens = (answer) => answer && new vscode.SemanticTokens(Uint32Array.from(answer.data));
  const fold = (f) => new vscode.FoldingRange(f.startLine, f.endLine);
  context.subscriptions.push(
    languages.registerHoverProvider(LANGUAGE, {
      async provideHover(document, position, token) {
        const answer = await ask("textDocument/hover", at(document, position), token);
        if (!answer) return null;
        const words = new vscode.MarkdownString();
        words.appendText(answer.contents.value);
        return new vscode.Hover(words, convert.range(answer.range));
      },
    }),
    languages.registerCompletionItemProvider(
      LANGUAGE,
      {
        async provideCompletionItems(document, position, token) {
          const answer = await ask("textDocument/completion", at(document, position), token);
          return answer && answer.map(convert.completion);
        },
      },
      " ",
      ":",
      "@",
      ".",
    ),
    languages.registerDefinitionProvider(LANGUAGE, {
      async provideDefinition(document, position, token) {
        const answer = await ask("textDocument/definition", at(document, position), token);
        return answer && convert.location(answer);
      },
    }),
    languages.registerReferenceProvider(LANGUAGE, {
      async provideReferences(document, position, { includeDeclaration }, token) {
        const params = { ...at(document, position), context: { includeDeclaration } };
        const answer = await ask("textDocument/references", params, token);
        return answer && answer.map(convert.location);
      },
    }),
    languages.registerRenameProvider(LANGUAGE, {
      // What can't be done is told by the editor, so that these are not caught.
      async prepareRename(document, position, token) {
        const params = at(document, position);
        return convert.range(await connection.ask("textDocument/prepareRename", params, token));
      },
      async provideRenameEdits(document, position, newName, token) {
        const params = { ...at(document, position), newName };
        return convert.workspaceEdit(await connection.ask("textDocument/rename", params, token));
      },
    }),
    languages.registerDocumentSymbolProvider(LANGUAGE, {
      provideDocumentSymbols: all("textDocument/documentSymbol", convert.symbol),
    }),
    languages.registerFoldingRangeProvider(LANGUAGE, {
      provideFoldingRanges: all("textDocument/foldingRange", fold),
    }),
    languages.registerDocumentFormattingEditProvider(LANGUAGE, {
      async provideDocumentFormattingEdits(document, options, token) {
        const params = { textDocument: named(document), options };
        const answer = await ask("textDocument/formatting", params, token);
        return answer && answer.map(convert.textEdit);
      },
    }),
    languages.registerCodeActionsProvider(LANGUAGE, {
      async provideCodeActions(document, range, _context, token) {
        const params = {
          textDocument: named(document),
          range: plain(range),
          context: { diagnostics: [] },
        };
        const answer = await ask("textDocument/codeAction", params, token);
        return answer && answer.map(convert.codeAction);
      },
    }),
    languages.registerDocumentSemanticTokensProvider(
      LANGUAGE,
      {
        async provideDocumentSemanticTokens(document, token) {
          const params = { textDocument: named(document) };
          return tokens(await ask("textDocument/semanticTokens/full", params, token));
        },
      },
      tokenLegend,
    ),
    languages.registerInlayHintsProvider(LANGUAGE, {
      async provideInlayHints(document, range, token) {
        const params = { textDocument: named(document), range: plain(range) };
        const answer = await ask("textDocument/inlayHint", params, token);
        return answer && answer.map(convert.inlay);
      },
    }),
  );
}

function deactivate() {
  return connection && connection.close();
}

module.exports = { activate, deactivate };

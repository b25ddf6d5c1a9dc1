// What the protocol says, as the editor has it.
"use strict";

module.exports = (vscode) => {
  const position = (p) => new vscode.Position(p.line, p.character);
  const range = (r) => new vscode.Range(position(r.start), position(r.end));
  const location = (l) => new vscode.Location(vscode.Uri.parse(l.uri), range(l.range));
  const textEdit = (e) => new vscode.TextEdit(range(e.range), e.newText);

  const diagnostic = (d) => {
    const severity =
      d.severity === 1 ? vscode.DiagnosticSeverity.Error : vscode.DiagnosticSeverity.Warning;
    const made = new vscode.Diagnostic(range(d.range), d.message, severity);
    made.code = d.code;
    made.source = d.source;
    made.relatedInformation = (d.relatedInformation || []).map(
      (other) => new vscode.DiagnosticRelatedInformation(location(other.location), other.message),
    );
    return made;
  };

  const symbol = (s) => {
    const made = new vscode.DocumentSymbol(
      s.name,
      s.detail,
      s.kind - 1, // The protocol counts kinds from one.
      range(s.range),
      range(s.selectionRange),
    );
    made.children = s.children.map(symbol);
    return made;
  };

  const completion = (c) => {
    // The protocol counts kinds from one here too.
    const made = new vscode.CompletionItem(c.label, c.kind - 1);
    made.detail = c.detail;
    made.sortText = c.sortText;
    made.insertText = c.textEdit.newText;
    made.range = range(c.textEdit.range);
    return made;
  };

  const workspaceEdit = (e) => {
    const made = new vscode.WorkspaceEdit();
    for (const file of e.documentChanges || []) {
      made.set(vscode.Uri.parse(file.textDocument.uri), file.edits.map(textEdit));
    }
    for (const [uri, edits] of Object.entries(e.changes || {})) {
      made.set(vscode.Uri.parse(uri), edits.map(textEdit));
    }
    return made;
  };

  const codeAction = (a) => {
    const made = new vscode.CodeAction(a.title, vscode.CodeActionKind.QuickFix);
    made.edit = workspaceEdit(a.edit);
    made.diagnostics = (a.diagnostics || []).map(diagnostic);
    made.isPreferred = a.isPreferred;
    return made;
  };

  const inlay = (i) => {
    const made = new vscode.InlayHint(position(i.position), i.label);
    made.paddingLeft = i.paddingLeft;
    return made;
  };

  return {
    range,
    location,
    textEdit,
    diagnostic,
    symbol,
    completion,
    workspaceEdit,
    codeAction,
    inlay,
  };
};

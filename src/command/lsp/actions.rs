//! Changes of texts: mends, names in all places, rows in columns.

use super::books::{Books, key};
use super::places::{Places, plain};
use super::publish::diagnostic;
use crate::command::book::Book;
use flamacue::assist;
use flamacue::assist::{Encoding, LineStarts};
use flamacue::source::{Edit, FileId, Source, Span};
use lsp_types::{CodeAction, CodeActionKind, Range, TextEdit, Uri};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// The mends of what is wrong in a range of a file.
pub fn mends(
    (books, versions): (&Books, bool),
    (book, file): (&Book, FileId),
    range: Span,
) -> Vec<Value> {
    let source = book.view().source;
    let places = Places::new(source, books.encoding(), &books.uris);
    let touched = book.findings.iter().filter(|finding| {
        let span = finding.span;
        source.file_at(span.start()) == file
            && span.start() <= range.end()
            && range.start() <= span.end()
    });
    let mended = touched.filter_map(|finding| {
        let mend = finding.mend.as_ref()?;
        let edit = Edit { span: mend.span, text: mend.text.clone() };
        let action = CodeAction {
            title: mend.title.clone(),
            kind: Some(CodeActionKind::QUICKFIX),
            diagnostics: Some(vec![diagnostic(&places, finding)]),
            is_preferred: Some(true),
            ..CodeAction::default()
        };
        let mut action = serde_json::to_value(action).ok()?;
        action["edit"] = workspace_edit((books, versions), &places, source, &[edit]);
        Some(action)
    });
    mended.collect()
}

/// Changes of a book as the protocol has them: by file, with the number of the state of each where the editor
/// takes it.
pub fn workspace_edit(
    (books, versions): (&Books, bool),
    places: &Places<'_>,
    source: &Source,
    edits: &[Edit],
) -> Value {
    let mut files: BTreeMap<String, (String, Vec<Value>)> = BTreeMap::new();
    for edit in edits {
        let Some(uri) = places.uri(edit.span.start()) else { continue };
        let path = source.name_of(source.file_at(edit.span.start()));
        let changed = json!({ "range": places.range(edit.span), "newText": edit.text });
        let file = files.entry(uri.as_str().to_owned());
        file.or_insert_with(|| (path.to_owned(), Vec::new())).1.push(changed);
    }
    if versions {
        let files = files.into_iter().map(|(uri, (path, edits))| {
            let version = books.versions.get(&path);
            json!({ "textDocument": { "uri": uri, "version": version }, "edits": edits })
        });
        return json!({ "documentChanges": files.collect::<Vec<_>>() });
    }
    let files: serde_json::Map<String, Value> =
        files.into_iter().map(|(uri, (_, edits))| (uri, Value::from(edits))).collect();
    json!({ "changes": files })
}

/// The changes that set the rows of a text in columns; none where it has faults.
pub fn formatting(book: &Book, uri: &Uri, encoding: Encoding) -> Vec<TextEdit> {
    let path = key(uri);
    let Some(text) = book.text(&path) else { return Vec::new() };
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let source = flamacue::syntax::gather(Source::new(path.as_str(), bare), &|included| {
        book.text(included).map(str::to_owned).ok_or_else(|| "it is not known".to_owned())
    });
    let Ok(formatted) = assist::formatted(&source) else { return Vec::new() };
    let starts = LineStarts::of(text);
    let place = |offset| plain(starts.position(text, offset, encoding));
    let changes = assist::changed_lines(text, &formatted).into_iter();
    changes
        .map(|(range, new)| TextEdit::new(Range::new(place(range.start), place(range.end)), new))
        .collect()
}

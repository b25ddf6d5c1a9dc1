//! What is wrong with texts, told to the editor; nothing is told twice.

use super::books::Books;
use super::places::Places;
use flamacue::assist::Finding;
use flamacue::source::Severity;
use lsp_types::{
    Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, NumberOrString,
    PublishDiagnosticsParams, Uri,
};
use std::collections::BTreeMap;

/// What the editor was told last, by the paths of files.
#[derive(Default)]
pub struct Published(BTreeMap<String, (Uri, Vec<Diagnostic>)>);

impl Published {
    /// What the editor is to be told of now.
    pub fn news(&mut self, books: &Books) -> Vec<PublishDiagnosticsParams> {
        let mut now: BTreeMap<String, (Uri, Vec<Diagnostic>)> = BTreeMap::new();
        for book in books.all() {
            let source = book.view().source;
            let places = Places::new(source, books.encoding(), &books.uris);
            for path in book.files() {
                let start = book.view().file(&path).map_or(0, |file| source.span_of(file).start());
                if let Some(uri) = places.uri(start) {
                    now.entry(path).or_insert_with(|| (uri, Vec::new()));
                }
            }
            for finding in &book.findings {
                let path = source.name_of(source.file_at(finding.span.start()));
                let one = diagnostic(&places, finding);
                // A chapter of two books has each fault once.
                if let Some((_, told)) = now.get_mut(path).filter(|(_, told)| !told.contains(&one))
                {
                    told.push(one);
                }
            }
        }
        let mut news = Vec::new();
        for (path, (uri, told)) in &now {
            let before = self.0.get(path);
            let open = books.versions.contains_key(path);
            let is_new = match before {
                Some((_, before)) => before != told,
                // Of a file that is open the editor waits to hear; of another nothing is told but faults.
                None => open || !told.is_empty(),
            };
            if is_new {
                let version = books.versions.get(path).copied();
                news.push(PublishDiagnosticsParams::new(uri.clone(), told.clone(), version));
            }
        }
        for (path, (uri, told)) in &self.0 {
            if !now.contains_key(path) && !told.is_empty() {
                news.push(PublishDiagnosticsParams::new(uri.clone(), Vec::new(), None));
            }
        }
        self.0 = now;
        news
    }

    /// A text was opened: the editor knows nothing of it.
    pub fn forget(&mut self, path: &str) {
        self.0.remove(path);
    }
}

/// A finding as the protocol has it.
pub fn diagnostic(places: &Places<'_>, finding: &Finding) -> Diagnostic {
    let severity = match finding.severity {
        Severity::Error => DiagnosticSeverity::ERROR,
        Severity::Warning => DiagnosticSeverity::WARNING,
    };
    let other = finding.other.and_then(|other| places.location(other));
    let related = other.map(|location| {
        vec![DiagnosticRelatedInformation { location, message: "the other is here".to_owned() }]
    });
    Diagnostic {
        range: places.range(finding.span),
        severity: Some(severity),
        code: Some(NumberOrString::String(finding.code.as_str().to_owned())),
        source: Some("flamacue".to_owned()),
        message: finding.message.clone(),
        related_information: related,
        ..Diagnostic::default()
    }
}

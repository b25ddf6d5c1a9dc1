//! What a text means, and what is found in it.

use flamacue::score::Score;
use flamacue::source::{Diagnostics, Source};

/// The score of a text and everything found in it.
pub fn read(text: &str) -> (Score, Diagnostics, Source) {
    let source = Source::new("test.flam", text);
    let mut diagnostics = Diagnostics::default();
    let score = flamacue::understand(&source, &mut diagnostics);
    (score, diagnostics, source)
}

/// What was found, one line each: place, sentence, mend.
pub fn found(diagnostics: &Diagnostics, source: &Source) -> String {
    let mut lines = Vec::new();
    for d in diagnostics.sorted() {
        let place = source.location(d.span.start());
        let mend = d.mend_in(source).map(|m| format!(" -> {m}")).unwrap_or_default();
        lines.push(format!(
            "{:?} {}:{} [{}] {}{mend}",
            d.severity,
            place.line,
            place.column,
            source.slice(d.span),
            d.message
        ));
    }
    lines.join("\n")
}

//! What is wrong with a text, and how it is mended by a change of it.

use crate::source::{Code, Diagnostic, Diagnostics, Severity, Source, Span};

/// Something wrong at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Where, in the source.
    pub span: Span,
    /// Whether it stops the build.
    pub severity: Severity,
    /// What kind of fault it is.
    pub code: Code,
    /// One sentence in a drummer's words, and under it how it is mended, in words.
    pub message: String,
    /// Where the other of two stands that can't be both.
    pub other: Option<Span>,
    /// The change that mends it.
    pub mend: Option<Mend>,
}

/// A change of a text that mends a fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// What it does, in words.
    pub title: String,
    /// What is replaced.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

/// All that was found in a text, by place, as a report has it.
#[must_use]
pub fn findings(source: &Source, diagnostics: &Diagnostics) -> Vec<Finding> {
    diagnostics.sorted().into_iter().map(|found| Finding::of(source, found)).collect()
}

impl Finding {
    fn of(source: &Source, found: &Diagnostic) -> Self {
        let mut message = found.message.clone();
        if let Some(mend) = found.mend_in(source) {
            message.push('\n');
            message.push_str(&mend);
        }
        let mend = found.edit.as_ref().map(|edit| Mend {
            title: found.mend.clone().unwrap_or_else(|| found.message.clone()),
            span: edit.span,
            text: edit.text.clone(),
        });
        let (severity, code) = (found.severity, found.code);
        Self { span: found.span, severity, code, message, other: found.other, mend }
    }
}

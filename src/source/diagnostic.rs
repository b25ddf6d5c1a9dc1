//! Faults and warnings, written for drummers.

use super::{Source, Span};

/// Whether a diagnostic stops the build.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The build goes on.
    Warning,
    /// No output is written.
    Error,
}

/// One thing that is wrong at one place: a plain sentence and, where it can be known, the mend.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Whether it stops the build.
    pub severity: Severity,
    /// The exact cells.
    pub span: Span,
    /// One sentence in a drummer's words.
    pub message: String,
    /// What to write instead.
    pub mend: Option<String>,
}

/// All that was found in a file, in the order it was found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Diagnostics {
    found: Vec<Diagnostic>,
}

impl Diagnostics {
    /// Adds an error.
    pub fn error(&mut self, span: Span, message: impl Into<String>) -> &mut Diagnostic {
        self.push(Severity::Error, span, message.into())
    }

    /// Adds a warning.
    pub fn warning(&mut self, span: Span, message: impl Into<String>) -> &mut Diagnostic {
        self.push(Severity::Warning, span, message.into())
    }

    fn push(&mut self, severity: Severity, span: Span, message: String) -> &mut Diagnostic {
        let at = self.found.len();
        self.found.push(Diagnostic { severity, span, message, mend: None });
        &mut self.found[at]
    }

    /// Whether anything found stops the build.
    pub fn has_errors(&self) -> bool {
        self.found.iter().any(|d| d.severity == Severity::Error)
    }

    /// Everything found, by place in the text.
    pub fn sorted(&self) -> Vec<&Diagnostic> {
        let mut all: Vec<&Diagnostic> = self.found.iter().collect();
        all.sort_by_key(|d| (d.span, std::cmp::Reverse(d.severity)));
        all.dedup();
        all
    }

    /// The report a person reads: file, line, column, the marked line, the sentence, the mend.
    /// `colour` adds terminal colours.
    pub fn render(&self, _source: &Source, _colour: bool) -> String {
        String::new()
    }
}

impl Diagnostic {
    /// Says how to mend it.
    pub fn mend(&mut self, mend: impl Into<String>) {
        self.mend = Some(mend.into());
    }
}

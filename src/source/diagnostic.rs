//! Faults and warnings, written for drummers.

use super::code::Code;
use crate::score::Span;

/// Errors, and warnings, kept of one file; of more only the number is known. Far more than anyone
/// reads, and a bound on what a file of nothing but faults can take up.
const KEPT: usize = 5_000;

/// Whether a diagnostic stops the build.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The build goes on.
    Warning,
    /// No output is written.
    Error,
}

/// A change of text that mends a fault: what is to stand in place of a range.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// What is replaced; empty where something is put in.
    pub span: Span,
    /// What stands there afterwards; empty where something is taken out.
    pub text: String,
}

/// One thing that is wrong at one place: a plain sentence and, where it can be known, the mend.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Whether it stops the build.
    pub severity: Severity,
    /// What kind of fault it is.
    pub code: Code,
    /// The exact cells.
    pub span: Span,
    /// One sentence in a drummer's words.
    pub message: String,
    /// What to write instead, in words.
    pub mend: Option<String>,
    /// What to write instead, where one change of the text mends it.
    pub edit: Option<Edit>,
    /// Whether another file could make it good: a name is not known in this one.
    pub elsewhere: bool,
    /// Where the other of two stands that can't be both, at any byte of the source.
    pub other: Option<Span>,
}

/// All that was found in a file, in the order it was found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Diagnostics {
    found: Vec<Diagnostic>,
    errors: usize,
    warnings: usize,
    /// The last one that was not kept.
    unkept: Option<Diagnostic>,
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
        let code = Code::GENERAL;
        let (mend, edit) = (None, None);
        let (elsewhere, other) = (false, None);
        let diagnostic = Diagnostic { severity, code, span, message, mend, edit, elsewhere, other };
        let count = match severity {
            Severity::Error => &mut self.errors,
            Severity::Warning => &mut self.warnings,
        };
        *count += 1;
        if *count > KEPT {
            return self.unkept.insert(diagnostic);
        }
        let at = self.found.len();
        self.found.push(diagnostic);
        &mut self.found[at]
    }

    /// Adds what was found beside it and is not the same.
    pub fn absorb_new(&mut self, mut found: Self) {
        let known = |new: &Diagnostic| {
            self.found.iter().any(|known| {
                (known.code, known.span) == (new.code, new.span) && known.message == new.message
            })
        };
        found.retain(|new| !known(new));
        self.absorb(found, 0);
    }

    /// Adds what was found in a block that starts at a byte of the source.
    pub fn absorb(&mut self, found: Self, at: usize) {
        let kept = found.found.len();
        let unkept = found.errors + found.warnings - kept;
        for mut diagnostic in found.found.into_iter().chain(found.unkept) {
            diagnostic.span = diagnostic.span.moved(at);
            if let Some(edit) = &mut diagnostic.edit {
                edit.span = edit.span.moved(at);
            }
            diagnostic.other = diagnostic.other.map(|other| other.moved(at));
            let (severity, span) = (diagnostic.severity, diagnostic.span);
            *self.push(severity, span, String::new()) = diagnostic;
        }
        // The last one not kept was counted just now.
        let more = unkept.saturating_sub(1);
        let of_errors = found.errors.saturating_sub(KEPT).min(more);
        self.errors += of_errors;
        self.warnings += more - of_errors;
    }

    /// Moves all places.
    pub fn move_places(&mut self, to: impl Fn(usize) -> usize) {
        let range = |span: Span| Span::new(to(span.start()), to(span.end()));
        for diagnostic in self.found.iter_mut().chain(&mut self.unkept) {
            diagnostic.span = range(diagnostic.span);
            if let Some(edit) = &mut diagnostic.edit {
                edit.span = range(edit.span);
            }
            diagnostic.other = diagnostic.other.map(range);
        }
    }

    /// Keeps only what is so.
    pub fn retain(&mut self, keep: impl Fn(&Diagnostic) -> bool) {
        let (errors, warnings) = (&mut self.errors, &mut self.warnings);
        self.found.retain(|diagnostic| {
            let kept = keep(diagnostic);
            if !kept {
                match diagnostic.severity {
                    Severity::Error => *errors -= 1,
                    Severity::Warning => *warnings -= 1,
                }
            }
            kept
        });
    }

    /// Says of everything where it holds, as `edition `student``.
    pub fn in_what(&mut self, what: &str) {
        for diagnostic in self.found.iter_mut().chain(&mut self.unkept) {
            diagnostic.message = format!("{what}: {}", diagnostic.message);
        }
    }

    /// What of this, which was found in an edition, was not found in the text as it stands too, with the
    /// edition it was found in.
    #[must_use]
    pub fn of_edition(mut self, name: &str, as_it_stands: &Self) -> Self {
        let known: Vec<&Diagnostic> = as_it_stands.found.iter().collect();
        self.retain(|one| !known.contains(&one));
        self.in_what(&format!("edition `{name}`"));
        self
    }

    /// Whether a fault of this kind was found.
    pub fn has(&self, code: Code) -> bool {
        self.found.iter().any(|diagnostic| diagnostic.code == code)
    }

    /// Whether nothing was found.
    pub fn is_empty(&self) -> bool {
        self.errors + self.warnings == 0
    }

    /// Whether anything found stops the build.
    pub fn has_errors(&self) -> bool {
        self.errors > 0
    }

    /// Whether anything found stops the build and could not be made good by another file.
    pub fn has_own_errors(&self) -> bool {
        self.errors > KEPT
            || self.found.iter().any(|d| d.severity == Severity::Error && !d.elsewhere)
    }

    /// How many of a kind were found.
    pub fn count(&self, severity: Severity) -> usize {
        match severity {
            Severity::Error => self.errors,
            Severity::Warning => self.warnings,
        }
    }

    /// Everything found, by place in the text; the first 5,000 errors and as many warnings.
    pub fn sorted(&self) -> Vec<&Diagnostic> {
        let mut all: Vec<&Diagnostic> = self.found.iter().collect();
        all.sort_by_key(|d| (d.span, std::cmp::Reverse(d.severity)));
        all.dedup();
        all
    }

    /// How many were found that were not kept.
    pub(super) fn unkept(&self) -> usize {
        self.errors.saturating_sub(KEPT) + self.warnings.saturating_sub(KEPT)
    }
}

impl Diagnostic {
    /// Says what kind of fault it is.
    pub fn code(&mut self, code: Code) -> &mut Self {
        self.code = code;
        self
    }

    /// Says how to mend it by a change of the text, as data and in words.
    pub fn replace(&mut self, span: Span, text: impl Into<String>, mend: impl Into<String>) {
        self.edit = Some(Edit { span, text: text.into() });
        self.mend(mend);
    }

    /// Says how to mend it.
    pub fn mend(&mut self, mend: impl Into<String>) {
        self.mend = Some(mend.into());
    }

    /// Says where the other of two stands that can't be both.
    pub fn other(&mut self, span: Span) -> &mut Self {
        self.other = Some(span);
        self
    }

    /// Says that another file could make it good.
    pub fn elsewhere(&mut self) -> &mut Self {
        self.elsewhere = true;
        self
    }
}

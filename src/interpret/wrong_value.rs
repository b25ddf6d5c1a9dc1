//! A value that a key or a line cannot have, and what may be written instead.

use crate::score::Span;
use crate::source::Diagnostic;

/// What may be written in place of a wrong value: in words, and where one word is misspelt as a
/// change of the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct WrongValue {
    pub(crate) help: String,
    /// What is to be replaced, and by what.
    pub(crate) near: Option<(Span, String)>,
}

impl WrongValue {
    /// A word that is misspelt.
    pub(crate) fn misspelt(span: Span, near: &str, help: impl Into<String>) -> Self {
        Self { help: help.into(), near: Some((span, near.to_owned())) }
    }

    /// The same with other words.
    pub(crate) fn told(self, help: impl FnOnce(String) -> String) -> Self {
        Self { help: help(self.help), ..self }
    }

    /// Says how to mend a fault.
    pub(crate) fn mend(self, fault: &mut Diagnostic) {
        match self.near {
            Some((span, text)) => fault.replace(span, text, self.help),
            None => fault.mend(self.help),
        }
    }
}

impl From<String> for WrongValue {
    fn from(help: String) -> Self {
        Self { help, near: None }
    }
}

impl From<&str> for WrongValue {
    fn from(help: &str) -> Self {
        Self::from(help.to_owned())
    }
}

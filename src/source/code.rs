//! Names of kinds of faults.

use std::fmt;

/// The name of a kind of fault: small letters and hyphens, as `row-unknown`. It stays the same
/// where the words of the report change. Each stage lists its own in a file `codes.rs`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Code(&'static str);

impl Code {
    /// A fault that has no kind of its own.
    pub const GENERAL: Self = Self("general");

    /// A kind of fault by its name.
    pub const fn new(name: &'static str) -> Self {
        Self(name)
    }

    /// The name.
    pub fn as_str(self) -> &'static str {
        self.0
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// The kinds of faults of one stage: a constant for each, and `ALL`.
macro_rules! codes {
    ($($(#[$about:meta])* $name:ident = $text:literal,)*) => {
        $($(#[$about])* pub const $name: $crate::source::Code = $crate::source::Code::new($text);)*
        /// All of them, in order.
        pub const ALL: &[$crate::source::Code] = &[$($name),*];
    };
}
pub(crate) use codes;

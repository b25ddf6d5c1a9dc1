//! The text of a file, places in it, and what is wrong with it.

mod code;
mod diagnostic;
mod encoding;
mod file;
mod files;
mod line_table;
mod location;
mod nearest;
pub(crate) mod paths;
mod report;
pub mod say;
mod text;

pub use crate::score::{Span, Spanned};
pub use code::Code;
pub(crate) use code::codes;
pub use diagnostic::{Diagnostic, Diagnostics, Edit, Severity};
pub use encoding::NotText;
pub use file::{FileId, Included};
pub use line_table::{LineTable, Lines, Location};
pub use nearest::nearest;
pub use report::visible;
pub use text::{PictureFile, Source};

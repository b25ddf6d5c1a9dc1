//! The faces everything is set with.

use flamacue::font::{FontError, Fonts};
use flamacue::score::Header;
use flamacue::source::Diagnostics;
use std::sync::OnceLock;

/// The faces that are part of the program; they are read at the first call and kept.
///
/// # Errors
/// Says what is wrong with a face that cannot be read.
pub fn built_in() -> Result<&'static Fonts, FontError> {
    static FONTS: OnceLock<Result<Fonts, FontError>> = OnceLock::new();
    FONTS.get_or_init(Fonts::built_in).as_ref().map_err(Clone::clone)
}

/// Faults a header that asks for font files: a page has none.
pub fn refuse_files(header: &Header, diagnostics: &mut Diagnostics) {
    if let Some(asked) = &header.text_fonts {
        diagnostics
            .error(asked.span, "font files can't be read in a web page")
            .mend("take the line out: words are then set in the built-in faces");
    }
}

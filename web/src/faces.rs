//! The faces everything is set with.

use flamacue::font::{FontError, Fonts};
use std::sync::{Arc, OnceLock};

/// The faces that are part of the program; they are read at the first call and kept.
///
/// # Errors
/// Says what is wrong with a face that cannot be read.
pub fn built_in() -> Result<Arc<Fonts>, FontError> {
    static FONTS: OnceLock<Result<Arc<Fonts>, FontError>> = OnceLock::new();
    FONTS.get_or_init(|| Fonts::built_in().map(Arc::new)).clone()
}

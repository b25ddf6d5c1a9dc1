//! What a page or a part of one comes to.

/// The content of a page, or of a part of one, with glyphs under their numbers in the font files.
#[derive(Clone, Debug, Default)]
pub(super) struct PageContent(pub(super) Vec<u8>);

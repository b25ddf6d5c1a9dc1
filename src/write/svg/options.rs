//! What may be chosen of SVG.

/// How a page is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SvgOptions {
    /// Words as `<text>` with the letters used embedded as fonts, in place of outlines.
    pub live_text: bool,
}

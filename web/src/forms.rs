//! The forms pages are written in. Each is nothing where there are no pages.

use flamacue::drawing::{Drawing, Page};
use flamacue::font::Fonts;
use flamacue::write::svg::SvgOptions;
use flamacue::write::{WriteError, json, pdf, svg};

/// All pages as one PDF file.
///
/// # Errors
/// Says which face could not be embedded.
pub fn pdf(drawing: Option<&Drawing>, fonts: &Fonts) -> Result<Option<Vec<u8>>, WriteError> {
    drawing.map(|drawing| pdf::write(drawing, fonts)).transpose()
}

/// One page as SVG.
///
/// # Errors
/// Says which face could not be embedded.
pub fn svg(page: Option<&Page>, fonts: &Fonts) -> Result<Option<String>, WriteError> {
    page.map(|page| svg::write_with(page, fonts, SvgOptions::default())).transpose()
}

/// The places of all marks for programs.
pub fn json(drawing: Option<&Drawing>, fonts: &Fonts) -> Option<String> {
    drawing.map(|drawing| json::write_measured(drawing, fonts))
}

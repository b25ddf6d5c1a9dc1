//! How a PDF is made for a printer.

/// How a file is made for a printer. The usual one is for any printer: no bleed, no marks, gray.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PdfOptions {
    /// Room around the trimmed page that is cut away, in points.
    pub bleed: f64,
    /// Whether lines outside the page show where to cut.
    pub crop_marks: bool,
    /// The colours ink is named in.
    pub ink: InkSpace,
    /// When the file was made, in seconds after the start of 1970; unsaid where there is none.
    pub date: Option<i64>,
}

/// The colours ink is named in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum InkSpace {
    /// Gray.
    #[default]
    Gray,
    /// Cyan, magenta, yellow and black, of which only black is used.
    Cmyk,
}

/// Length of a crop mark, in points: 5 mm, common practice, no source.
pub(super) const CROP_MARK: f64 = 5.0 / 25.4 * 72.0;
/// A crop mark keeps so far from the page, so that it is cut away: 3 mm, common practice, no source.
pub(super) const CROP_GAP: f64 = 3.0 / 25.4 * 72.0;

impl PdfOptions {
    /// How far the sheet reaches beyond the trimmed page, in points.
    pub(super) fn slug(&self) -> f64 {
        let marks = if self.crop_marks { self.bleed.max(CROP_GAP) + CROP_MARK } else { 0.0 };
        self.bleed.max(0.0).max(marks)
    }
}

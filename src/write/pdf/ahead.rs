//! Lines of music written before the pages they stand on are known.

use super::content;
use super::content::Writing;
use super::document::write_showing;
use super::glyphs::GlyphSet;
use super::noted;
use super::options::PdfOptions;
use super::page_ink::PageInk;
use super::pictures::PictureNumbers;
use crate::drawing::{Colours, Drawing, LineWriter, Node, WrittenInk};
use crate::font::Fonts;
use crate::pages::booklet;
use crate::write::error::WriteError;

/// Writes lines of music for a PDF as soon as they are set.
pub struct PdfLines<'a> {
    fonts: &'a Fonts,
    options: PdfOptions,
    ink: PageInk,
    /// The glyphs of all lines so far.
    shown: GlyphSet,
    /// Lines of music show none.
    pictures: PictureNumbers,
}

impl std::fmt::Debug for PdfLines<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PdfLines").field("options", &self.options).finish_non_exhaustive()
    }
}

impl<'a> PdfLines<'a> {
    /// For pages of some colours.
    pub fn new(fonts: &'a Fonts, colours: Colours, options: PdfOptions) -> Self {
        let ink = PageInk::of(colours, options.ink);
        Self {
            fonts,
            options,
            ink,
            shown: GlyphSet::default(),
            pictures: PictureNumbers::default(),
        }
    }
}

impl LineWriter for PdfLines<'_> {
    fn write(&self, marks: &[Node], unit: f64) -> WrittenInk {
        let Self { fonts, options, ink, shown, pictures } = self;
        noted::note(marks, fonts, shown);
        let writing = Writing { fonts, options, ink: *ink, pictures };
        WrittenInk::new(content::inset(marks, unit, writing))
    }
}

/// Pages whose lines of music are written for a PDF, and can be nothing else.
pub struct PdfPages {
    drawing: Drawing,
    options: PdfOptions,
    shown: GlyphSet,
}

impl std::fmt::Debug for PdfPages {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PdfPages").field("drawing", &self.drawing).finish_non_exhaustive()
    }
}

impl PdfPages {
    /// A drawing with the lines that were written for it.
    pub(crate) fn new(drawing: Drawing, lines: PdfLines<'_>) -> Self {
        Self { drawing, options: lines.options, shown: lines.shown }
    }

    /// Two pages on each side of a sheet, in the order that folds to a booklet.
    #[must_use]
    pub fn as_booklet(self) -> Self {
        Self { drawing: booklet::impose(&self.drawing), ..self }
    }

    /// The file.
    ///
    /// # Errors
    /// As [`write_with`](super::write_with).
    pub fn write(self, fonts: &Fonts) -> Result<Vec<u8>, WriteError> {
        write_showing(self.drawing, (fonts, &self.options, &self.shown))
    }
}

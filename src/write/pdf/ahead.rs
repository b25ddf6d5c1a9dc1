//! Lines of music written before the pages they stand on are known.

use super::content;
use super::content::Writing;
use super::document::{write_and_drop, write_pages};
use super::options::PdfOptions;
use super::page_ink::PageInk;
use super::pictures::PictureNumbers;
use crate::drawing::{Colours, Drawing, LineWriter, Node, WrittenInk};
use crate::font::Fonts;
use crate::pages::{Layout, booklet};
use crate::parallel::{Each, give_up};
use crate::score::Score;
use crate::write::error::WriteError;
use std::borrow::Cow;

/// Writes lines of music for a PDF as soon as they are set.
pub struct PdfLines<'a> {
    fonts: &'a Fonts,
    options: PdfOptions,
    ink: PageInk,
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
        Self { fonts, options, ink, pictures: PictureNumbers::default() }
    }
}

impl LineWriter for PdfLines<'_> {
    fn write(&self, marks: &[Node], unit: f64) -> WrittenInk {
        let Self { fonts, options, ink, pictures } = self;
        let writing = Writing { fonts, options, ink: *ink, pictures };
        // A copy has no room to grow in; it is kept until its page is made.
        WrittenInk::new(content::inset(marks, unit, writing).clone())
    }
}

/// Pages whose lines of music are written for a PDF, and can be nothing else.
pub struct PdfPages {
    pages: Ahead,
    options: PdfOptions,
}

/// Pages that are there already or only laid out.
enum Ahead {
    LaidOut(Box<(Layout, Score)>),
    Made(Box<Drawing>),
}

impl std::fmt::Debug for PdfPages {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PdfPages").field("options", &self.options).finish_non_exhaustive()
    }
}

impl PdfPages {
    /// The pages of a score, laid out with lines that were written in some way.
    pub(crate) fn new(layout: Layout, score: Score, options: PdfOptions) -> Self {
        Self { pages: Ahead::LaidOut(Box::new((layout, score))), options }
    }

    /// Two pages on each side of a sheet, in the order that folds to a booklet.
    #[must_use]
    pub fn as_booklet(self, fonts: &Fonts) -> Self {
        let drawing = match self.pages {
            Ahead::LaidOut(laid_out) => laid_out.0.into_drawing(fonts, &laid_out.1),
            Ahead::Made(drawing) => *drawing,
        };
        Self { pages: Ahead::Made(Box::new(booklet::impose(&drawing))), ..self }
    }

    /// The file. Pages that are only laid out are made a few at a time.
    ///
    /// # Errors
    /// As [`write_with`](super::write_with).
    pub fn write(self, fonts: &Fonts) -> Result<Vec<u8>, WriteError> {
        match self.pages {
            Ahead::LaidOut(laid_out) => {
                let (layout, score) = *laid_out;
                let drawing = layout.without_pages(fonts, &score);
                let pages = layout.into_pages(fonts, score);
                let pages = pages.map(|pages| pages.into_iter().map(Cow::Owned).collect());
                let written = write_pages(&drawing, pages, fonts, &self.options);
                // A long book has tens of thousands of links.
                give_up(Each::Small, drawing.links.len(), drawing);
                written
            }
            Ahead::Made(drawing) => write_and_drop(*drawing, fonts, &self.options),
        }
    }
}

//! Pages of a document, written and packed some at a time: while some are packed, the next are made and written, and
//! nothing is kept of them but what is packed and what is said beside them.

use super::compress;
use super::content;
use super::content::{Parts, Writing};
use super::glyphs::GlyphNumbers;
use super::options::{InkSpace, PdfOptions};
use super::page_content::PageContent;
use super::page_ink::PageInk;
use super::pictures::PictureNumbers;
use super::tags::Tags;
use crate::drawing::{Colours, Page};
use crate::font::Fonts;
use crate::parallel::{Each, map_in_order};
use crate::write::error::WriteError;
use kurbo::Size;
use lopdf::Stream;
use std::borrow::Cow;

/// Why black ink alone can't print what has colours.
const COLOURED: &str = "a press is given black ink alone, and the text asks for colours; take `ink:` and \
    `background:` out of it, or build it without --cmyk";

/// What is known of the pages so far.
pub(super) struct PagesSoFar<'a> {
    fonts: &'a Fonts,
    options: &'a PdfOptions,
    pub(super) sizes: Vec<Size>,
    /// The structure that parts of pages belong to.
    pub(super) tags: Option<Tags>,
    pub(super) pictures: PictureNumbers,
}

/// A page that is written and not packed yet.
pub(super) struct WrittenPage {
    content: PageContent,
    /// The glyphs that had no number when it was written.
    unnumbered: GlyphNumbers,
}

impl<'a> PagesSoFar<'a> {
    /// None yet, with a structure or without.
    pub(super) fn new(fonts: &'a Fonts, options: &'a PdfOptions, tags: Option<Tags>) -> Self {
        Self { fonts, options, sizes: Vec::new(), tags, pictures: PictureNumbers::default() }
    }

    /// Writes the next pages, with the numbers that glyphs have so far.
    ///
    /// # Errors
    /// Says that black ink alone can't print the colours of a page.
    pub(super) fn write(
        &mut self,
        pages: Vec<Cow<'_, Page>>,
        numbers: &GlyphNumbers,
    ) -> Result<Vec<WrittenPage>, WriteError> {
        let Self { fonts, options, sizes, tags, pictures } = self;
        let mut cut = Vec::with_capacity(pages.len());
        for page in pages {
            match options.ink {
                InkSpace::Cmyk if page.colours != Colours::default() => {
                    return Err(WriteError(COLOURED.to_owned()));
                }
                InkSpace::Cmyk | InkSpace::Gray => {}
            }
            sizes.push(Size::new(page.width, page.height));
            pictures.add_page(&page.nodes);
            let parts = Parts::of(&page, tags.as_mut());
            cut.push((page, parts));
        }
        let write = |(page, parts): (Cow<'_, Page>, Parts)| {
            let ink = PageInk::of(page.colours, options.ink);
            let writing = Writing { fonts, options, ink, pictures };
            let mut content = content::write(&page, &parts, writing);
            let unnumbered = numbers.write_into(&mut content.0);
            WrittenPage { content, unnumbered }
        };
        Ok(map_in_order(Each::Large, cut, write))
    }
}

/// Gives numbers to the glyphs of pages that have none, in the order of the pages.
pub(super) fn number(pages: &[WrittenPage], numbers: &mut GlyphNumbers) {
    pages.iter().for_each(|page| numbers.add_all(&page.unnumbered));
}

/// Packs pages, all of whose glyphs have numbers.
///
/// # Errors
/// Passes on what the compressor says.
pub(super) fn pack(
    pages: Vec<WrittenPage>,
    numbers: &GlyphNumbers,
) -> std::io::Result<Vec<Stream>> {
    let packed = map_in_order(Each::Large, pages, |page| {
        let WrittenPage { mut content, unnumbered } = page;
        if !unnumbered.is_empty() {
            numbers.write_into(&mut content.0);
        }
        compress::stream(content.0)
    });
    packed.into_iter().collect()
}

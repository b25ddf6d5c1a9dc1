//! The forms of output: which ending of a file's name means which writer, and what the writer reads.
//! Another form is another row of [`Format::ALL`] and its function.

use super::error::WriteError;
use super::flac::Tags;
use super::pdf::PdfOptions;
use super::png::PngOptions;
use super::strikes::mixer;
use super::svg::SvgOptions;
use super::{cues, epub, flac, html, json, midi, pdf, png, svg, wav};
use crate::drawing::{Drawing, Page};
use crate::font::Fonts;
use crate::pages::booklet;
use crate::pages::flowing::Flowing;
use crate::parallel::{Each, map_in_order};
use crate::practice::Plan;
use crate::score::Score;
use crate::sound::Kit;

/// What is asked of all writers; each reads its own part.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WriteOptions {
    /// How PDF is made for a printer.
    pub pdf: PdfOptions,
    /// PDF: two pages on each side of a sheet, in the order that folds to a booklet.
    pub booklet: bool,
    /// How words stand in SVG.
    pub svg: SvgOptions,
    /// Size and ground of PNG pictures.
    pub png: PngOptions,
}

/// The bytes of a file, or why there are none.
pub type Written = Result<Vec<u8>, WriteError>;

/// Writes all pages as one file, and gives them up on the way.
pub type DrawingWriter = fn(Drawing, &Fonts, &WriteOptions) -> Written;
/// Writes one page, or the picture of a block.
pub type PageWriter = fn(&Page, &Fonts, &WriteOptions) -> Written;
/// Writes the body without pages as one file.
pub type FlowingWriter = fn(&Flowing, &Fonts, &WriteOptions) -> Written;

/// Writes the music itself as one file; it needs neither fonts nor pages.
pub type ScoreWriter = fn(&Score) -> Written;

/// Writes what is heard, with its places on the pages.
pub type CuesWriter = fn(&Score, &Plan, &Drawing, &Fonts) -> Written;

/// A file that is written from its start to its end, where what was written before may be mended.
pub trait SoundFile: std::io::Write + std::io::Seek {}

impl<T: std::io::Write + std::io::Seek> SoundFile for T {}

/// Writes what is heard, sample by sample, with what is told of it.
pub type SoundWriter = fn(&Plan, &mut Kit, &Tags, &mut dyn SoundFile) -> Result<(), WriteError>;

/// A writer, by what it reads.
#[derive(Clone, Copy, Debug)]
pub enum Writer {
    /// What is heard, and all pages, as one file.
    Cues(CuesWriter),
    /// What is heard, as one file.
    Sound(SoundWriter),
    /// All pages as one PDF, unless their lines of music are written for it already.
    Pdf(DrawingWriter),
    /// All pages as one file.
    Drawing(DrawingWriter),
    /// Each page, or the picture of a block, as a file of its own.
    Page(PageWriter),
    /// The body without pages as one file.
    Flowing(FlowingWriter),
    /// The music itself as one file.
    Score(ScoreWriter),
}

/// Writes pages or pictures, each as a file of its own, side by side and in their order.
pub fn each_page(
    writer: PageWriter,
    pages: Vec<Page>,
    fonts: &Fonts,
    options: &WriteOptions,
) -> Vec<Written> {
    map_in_order(Each::Large, pages, |page| writer(&page, fonts, options))
}

/// A form of output. Two are the same where their endings are.
#[derive(Clone, Copy, Debug)]
pub struct Format {
    /// The ending of a file's name, in small letters, without its dot.
    pub ending: &'static str,
    /// What such a file is, for the help of a command.
    pub is: &'static str,
    /// What makes it.
    pub writer: Writer,
}

impl PartialEq for Format {
    fn eq(&self, other: &Self) -> bool {
        self.ending == other.ending
    }
}

impl Eq for Format {}

impl Format {
    /// Pages for paper.
    pub const PDF: Self =
        Self { ending: "pdf", is: "pages for paper", writer: Writer::Pdf(write_pdf) };
    /// Pictures of lines that stay sharp at any size.
    pub const SVG: Self =
        Self { ending: "svg", is: "pictures for screens", writer: Writer::Page(write_svg) };
    /// Pictures of pixels.
    pub const PNG: Self =
        Self { ending: "png", is: "pictures for screens", writer: Writer::Page(write_png) };

    /// A page for screens, of text and pictures.
    pub const HTML: Self =
        Self { ending: "html", is: "a web page", writer: Writer::Flowing(write_html) };

    /// Every form, in the order a help lists them.
    pub const ALL: [Self; 10] = [
        Self::PDF,
        Self::SVG,
        Self::PNG,
        Self::HTML,
        Self { ending: "epub", is: "a book for screens", writer: Writer::Flowing(write_epub) },
        Self { ending: "flac", is: "sound to practise with", writer: Writer::Sound(write_flac) },
        Self { ending: "wav", is: "sound to practise with", writer: Writer::Sound(write_wav) },
        Self {
            ending: "mid",
            is: "MIDI for programs that play it",
            writer: Writer::Score(midi::write),
        },
        Self {
            ending: "json",
            is: "the places of all marks for programs",
            writer: Writer::Drawing(write_json),
        },
        Self {
            ending: "cues.json",
            is: "the times of all strokes for programs",
            writer: Writer::Cues(write_cues),
        },
    ];

    /// Whether it is made of what is heard.
    pub fn is_heard(self) -> bool {
        match self.writer {
            Writer::Cues(_) | Writer::Sound(_) => true,
            Writer::Pdf(_)
            | Writer::Drawing(_)
            | Writer::Page(_)
            | Writer::Flowing(_)
            | Writer::Score(_) => false,
        }
    }

    /// Whether something is drawn for it, and faces are needed.
    pub fn is_drawn(self) -> bool {
        match self.writer {
            Writer::Score(_) | Writer::Sound(_) => false,
            Writer::Pdf(_)
            | Writer::Drawing(_)
            | Writer::Page(_)
            | Writer::Flowing(_)
            | Writer::Cues(_) => true,
        }
    }

    /// The form that an ending means, in capitals or not.
    pub fn of_ending(ending: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|format| format.ending.eq_ignore_ascii_case(ending))
    }

    /// The form that the name of a file asks for by its ending; the longest ending counts.
    pub fn of_name(name: &str) -> Option<Self> {
        let ends = |format: &Self| {
            let point = name.len().checked_sub(format.ending.len() + 1);
            let end = point.and_then(|at| name.get(at..)).and_then(|end| end.strip_prefix('.'));
            end.is_some_and(|end| end.eq_ignore_ascii_case(format.ending))
        };
        Self::ALL.into_iter().filter(ends).max_by_key(|format| format.ending.len())
    }
}

fn write_pdf(drawing: Drawing, fonts: &Fonts, options: &WriteOptions) -> Written {
    let drawing = if options.booklet { booklet::impose(&drawing) } else { drawing };
    pdf::write_and_drop(drawing, fonts, &options.pdf)
}

fn write_svg(page: &Page, fonts: &Fonts, options: &WriteOptions) -> Written {
    svg::write_with(page, fonts, options.svg).map(String::into_bytes)
}

fn write_png(page: &Page, fonts: &Fonts, options: &WriteOptions) -> Written {
    png::write(page, fonts, options.png)
}

fn write_html(flowing: &Flowing, fonts: &Fonts, _: &WriteOptions) -> Written {
    html::write(flowing, fonts).map(String::into_bytes)
}

fn write_epub(flowing: &Flowing, fonts: &Fonts, options: &WriteOptions) -> Written {
    epub::write(flowing, fonts, options.pdf.date)
}

fn write_json(drawing: Drawing, fonts: &Fonts, _: &WriteOptions) -> Written {
    Ok(json::write_measured(&drawing, fonts).into_bytes())
}

fn write_cues(score: &Score, plan: &Plan, drawing: &Drawing, fonts: &Fonts) -> Written {
    Ok(cues::write(score, plan, drawing, fonts).into_bytes())
}

fn write_flac(
    plan: &Plan,
    kit: &mut Kit,
    tags: &Tags,
    to: &mut dyn SoundFile,
) -> Result<(), WriteError> {
    flac::write(&mut mixer(plan, kit), tags, to)
}

fn write_wav(
    plan: &Plan,
    kit: &mut Kit,
    _: &Tags,
    to: &mut dyn SoundFile,
) -> Result<(), WriteError> {
    wav::write(&mut mixer(plan, kit), to)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ending_means_one_form() {
        for format in Format::ALL {
            let meant = Format::ALL.into_iter().filter(|other| *other == format);
            assert_eq!(meant.count(), 1, "{}", format.ending);
            assert_eq!(Format::of_ending(&format.ending.to_uppercase()), Some(format));
        }
        assert_eq!(Format::of_ending("doc"), None);
        let named = |name| Format::of_name(name).map(|format| format.ending);
        assert_eq!(named("a.b.PDF"), Some("pdf"));
        assert_eq!(named("a.json"), Some("json"));
        assert_eq!(named("a.Cues.json"), Some("cues.json"));
        assert_eq!(named("pdf"), None);
    }
}

//! What a text becomes: pages and pictures as the bytes of files, none of them written yet.

use super::args::Limit;
use super::editions;
use super::editions::Variant;
use super::files::{Reader, Text};
use super::fingerprint::fingerprint;
use super::fonts::FaceBox;
use super::heard;
use super::heard::Heard;
use super::huge_pages;
use super::outcome::Failure;
use super::output::Output;
use super::plan::Target;
use super::recording::Recording;
use super::report;
use flamacue::Compiled;
use flamacue::drawing::{Drawing, Page};
use flamacue::engrave::Style;
use flamacue::font::Fonts;
use flamacue::pages::Wanted;
use flamacue::pages::flowing::Flowing;
use flamacue::score::Score;
use flamacue::source::{Diagnostics, Source};
use flamacue::write::format::{DrawingWriter, FlowingWriter, PageWriter, Written, each_page};
use flamacue::write::html::{self, WebPage};
use flamacue::write::pdf::PdfPages;
use flamacue::write::{WriteOptions, Writer, svg};
use std::path::{Path, PathBuf};

/// Who is told what comes up while files are made.
pub struct Teller<'a> {
    /// Hears of each text that is begun.
    pub begin: &'a mut dyn FnMut(&str),
    /// Hears what was found in a text.
    pub find: &'a mut dyn FnMut(&Source, &Diagnostics),
    /// Wants to know how pages look.
    pub pages: bool,
}

/// What all files of a run are set with.
pub struct Press<'a> {
    pub reader: &'a Reader<'a>,
    pub faces: FaceBox<'a>,
    pub style: Option<Style>,
    pub options: WriteOptions,
    pub limit: Limit,
    pub practising: Heard<'a>,
}

impl Press<'_> {
    /// Reads a file of drum-text, with all it includes. Where it is drawn, faces are made ready meanwhile.
    pub fn text(&self, file: &Path, target: &Target) -> Result<Text, Failure> {
        let read = || self.reader.text(file);
        if target.format().is_drawn() { self.faces.meanwhile(read) } else { read() }
    }

    /// What a file becomes as it stands or in an edition, and its faults and warnings told; nothing where it has faults.
    pub fn outputs(
        &mut self,
        file: &Path,
        text: &mut Text,
        Variant { edition, player, target }: &Variant,
        teller: &mut Teller<'_>,
    ) -> Result<Option<Vec<Output>>, Failure> {
        let mut diagnostics = Diagnostics::default();
        let budget = self.limit.of(&text.source);
        let is_drawn = target.format().is_drawn();
        huge_pages::for_text(text.source.bytes());
        let asked = (edition.as_deref(), player.as_deref());
        let mut read = || editions::score(&text.source, asked, budget, &mut diagnostics);
        let score = if is_drawn { self.faces.meanwhile(read) } else { read() };
        // What is heard needs neither the pictures nor the fonts that a text names.
        let fonts = if is_drawn {
            self.reader.add_pictures(text, &score);
            self.faces.of(text, &score.header, file, &mut diagnostics)
        } else {
            self.faces.usual()
        };
        let (source, style) = (&text.source, self.style.as_ref());
        let made = if diagnostics.has_errors() {
            None
        } else {
            let set_with = SetWith { source, fonts, style };
            let asked = (&self.options, teller.pages, &self.practising);
            make(target, score, (set_with, asked), &mut diagnostics)?
        };
        (teller.find)(source, &diagnostics);
        let Some(made) = made.filter(|_| !diagnostics.has_errors()) else { return Ok(None) };
        if made.is_empty() {
            report::line(&format!("{}: there is no block to draw", source.name()));
        }
        made.write(target, (fonts, &self.options), teller.pages).map(Some)
    }
}

/// A file as its writer reads it.
enum WriterInput {
    Pdf(Box<PdfPages>),
    Whole(Box<Drawing>, DrawingWriter),
    /// Pages or pictures, each with the file it goes to.
    Apart(Vec<(PathBuf, Page)>, PageWriter),
    Flowing(Box<Flowing>, FlowingWriter),
    /// A folder of pages.
    Web(Box<Flowing>),
    /// It is written already.
    Written(Written),
    Heard(Box<Recording>),
}

/// What a score is set with, which was read from a source.
#[derive(Clone, Copy)]
struct SetWith<'a> {
    source: &'a Source,
    fonts: &'a Fonts,
    style: Option<&'a Style>,
}

/// A score without an error, and what it is set with.
struct ReadScore<'a> {
    score: &'a Score,
    set_with: SetWith<'a>,
}

impl ReadScore<'_> {
    fn typeset(&self, wanted: Wanted, diagnostics: &mut Diagnostics) -> Option<Compiled> {
        let Self { score, set_with: SetWith { source, fonts, style } } = *self;
        flamacue::typeset(source, score, fonts, style, wanted, diagnostics)
    }

    fn flowing(&self, diagnostics: &mut Diagnostics) -> Option<Flowing> {
        let Self { score, set_with: SetWith { source, fonts, style } } = *self;
        flamacue::typeset_flowing(source, score, fonts, style, diagnostics)
    }
}

/// Prepares a score as far as its writer needs, and gives it up; nothing where that shows an error.
fn make(
    target: &Target,
    score: Score,
    (set_with, (options, told, practising)): (SetWith<'_>, (&WriteOptions, bool, &Heard<'_>)),
    diagnostics: &mut Diagnostics,
) -> Result<Option<WriterInput>, Failure> {
    if let (Writer::Pdf(_), false) = (target.format().writer, told) {
        let SetWith { source, fonts, style } = set_with;
        let pages = flamacue::typeset_pdf(source, score, fonts, style, options.pdf, diagnostics);
        let folded = |pages: PdfPages| match options.booklet {
            true => pages.as_booklet(fonts),
            false => pages,
        };
        return Ok(pages.map(|pages| WriterInput::Pdf(Box::new(folded(pages)))));
    }
    let made = prepare(target, &ReadScore { score: &score, set_with }, practising, diagnostics);
    // A book's takes a fifth of all its room.
    flamacue::give_up(score);
    made
}

/// Prepares a score of which something is kept meanwhile.
fn prepare(
    target: &Target,
    score: &ReadScore<'_>,
    practising: &Heard<'_>,
    diagnostics: &mut Diagnostics,
) -> Result<Option<WriterInput>, Failure> {
    let SetWith { source, fonts, .. } = score.set_with;
    Ok(match target.format().writer {
        Writer::Pdf(writer) | Writer::Drawing(writer) => score
            .typeset(Wanted::Pages, diagnostics)
            .map(|made| WriterInput::Whole(Box::new(made.drawing), writer)),
        Writer::Page(writer) => {
            pages(target, score, diagnostics).map(|pages| WriterInput::Apart(pages, writer))
        }
        Writer::Flowing(writer) => score.flowing(diagnostics).map(|flowing| match target {
            Target::Web { .. } => WriterInput::Web(Box::new(flowing)),
            Target::Pages { .. } | Target::Each { .. } | Target::StandardOutput => {
                WriterInput::Flowing(Box::new(flowing), writer)
            }
        }),
        Writer::Cues(writer) => {
            let plan = practising.plan(score.score, source.name())?;
            let write = |made: Compiled| writer(score.score, &plan, &made.drawing, fonts);
            score.typeset(Wanted::Pages, diagnostics).map(write).map(WriterInput::Written)
        }
        Writer::Score(writer) => {
            Some(WriterInput::Written(heard::played(score.score, source.name(), writer)?))
        }
        Writer::Sound(writer) => {
            let recording = practising.recording(score.score, source.name(), writer)?;
            Some(WriterInput::Heard(Box::new(recording)))
        }
    })
}

/// Pages or pictures of blocks, each with the file it goes to.
fn pages(
    target: &Target,
    score: &ReadScore<'_>,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<(PathBuf, Page)>> {
    Some(match target {
        Target::Each { .. } => {
            let made = score.typeset(Wanted::PagesAndPictures, diagnostics)?;
            let names = made.blocks.iter().map(|(name, _)| name.as_str());
            let files = target.files_of_blocks(names);
            files.into_iter().zip(made.blocks.into_iter().map(|(_, page)| page)).collect()
        }
        Target::Pages { .. } | Target::Web { .. } | Target::StandardOutput => {
            let pages = score.typeset(Wanted::Pages, diagnostics)?.drawing.pages;
            target.files_of_pages(pages.len()).into_iter().zip(pages).collect()
        }
    })
}

impl WriterInput {
    fn is_empty(&self) -> bool {
        match self {
            Self::Pdf(_)
            | Self::Whole(..)
            | Self::Flowing(..)
            | Self::Web(_)
            | Self::Written(_)
            | Self::Heard(_) => false,
            Self::Apart(pages, _) => pages.is_empty(),
        }
    }

    fn write(
        self,
        target: &Target,
        (fonts, options): (&Fonts, &WriteOptions),
        told: bool,
    ) -> Result<Vec<Output>, Failure> {
        match self {
            Self::Written(written) => whole(target, written, Vec::new()),
            Self::Heard(recording) => {
                let path = target.files_of_pages(1).pop();
                let output = |path| Output::Sound { path, recording };
                Ok(path.map(output).into_iter().collect())
            }
            Self::Pdf(pages) => whole(target, pages.write(fonts), Vec::new()),
            Self::Whole(drawing, writer) => {
                let pages = if told { looks(&drawing, fonts) } else { Vec::new() };
                whole(target, writer(*drawing, fonts, options), pages)
            }
            Self::Flowing(flowing, writer) => {
                whole(target, writer(&flowing, fonts, options), Vec::new())
            }
            Self::Web(flowing) => {
                let made = html::write_book(&flowing, fonts).map_err(Failure::new)?;
                let file = |page: WebPage| {
                    let path = target.file_of_web(&page.name)?;
                    Some(Output::File { path, bytes: page.html.into_bytes(), pages: Vec::new() })
                };
                Ok(made.into_iter().filter_map(file).collect())
            }
            Self::Apart(pages, writer) => {
                let (paths, pages): (Vec<_>, Vec<_>) = pages.into_iter().unzip();
                let written = each_page(writer, pages, fonts, options);
                let file = |(path, written): (PathBuf, Written)| {
                    let bytes = written.map_err(Failure::new)?;
                    Ok(Output::File { path, bytes, pages: Vec::new() })
                };
                paths.into_iter().zip(written).map(file).collect()
            }
        }
    }
}

/// What is all in one file.
fn whole(target: &Target, written: Written, pages: Vec<u64>) -> Result<Vec<Output>, Failure> {
    let bytes = written.map_err(Failure::new)?;
    let output = match target.files_of_pages(1).pop() {
        Some(path) => Output::File { path, bytes, pages },
        None => Output::Standard(bytes),
    };
    Ok(vec![output])
}

/// A number for how each page looks, which is the same where it looks the same.
fn looks(drawing: &Drawing, fonts: &Fonts) -> Vec<u64> {
    let look = |page: &Page| fingerprint(svg::write(page, fonts).as_bytes());
    drawing.pages.iter().map(look).collect()
}

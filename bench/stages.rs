//! How quick each stage is, in bars a second, in one warm process.
//!
//!     cargo bench --bench stages
//!     RAYON_NUM_THREADS=1 cargo bench --bench stages
//!
//! The texts are the demo handout and the book of `bench/book`, or the one that `FLAMACUE_BOOK` names.
//! An item, as divan counts them, is a bar of the finished score. What a stage reads is made before the
//! clock starts. All that is called of the library stands in `stage`.

// A measurement may stop at the first surprise.
#![allow(missing_docs, clippy::expect_used, clippy::panic)]

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

fn main() {
    divan::main();
}

/// The texts that are measured.
#[derive(Clone, Copy, Debug)]
enum Text {
    Handout,
    Book,
}

const TEXTS: [Text; 2] = [Text::Handout, Text::Book];

/// Names a book to measure in place of the made-up one.
const BOOK: &str = "FLAMACUE_BOOK";

impl Text {
    fn path(self) -> PathBuf {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        match self {
            Self::Handout => root.join("demo/over-the-bakery.flam"),
            Self::Book => match std::env::var_os(BOOK) {
                Some(path) => path.into(),
                None => made_up(root),
            },
        }
    }

    fn prepared(self) -> &'static stage::Prepared {
        static HANDOUT: OnceLock<stage::Prepared> = OnceLock::new();
        static BOOK: OnceLock<stage::Prepared> = OnceLock::new();
        let place = match self {
            Self::Handout => &HANDOUT,
            Self::Book => &BOOK,
        };
        place.get_or_init(|| stage::Prepared::new(&self.path()))
    }
}

/// The made-up book, written by the one script that knows how.
fn made_up(root: &Path) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("book");
    let script = Command::new("python3").arg(root.join("bench/book")).arg(&folder).output();
    let done = script.expect("python3 writes the book");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    folder.join("book.flam")
}

/// A stage that leaves what it reads.
fn reading<R>(bencher: Bencher<'_, '_>, text: Text, work: fn(&stage::Prepared) -> R) {
    let prepared = text.prepared();
    bencher.counter(ItemsCount::new(prepared.bars)).bench_local(|| work(black_box(prepared)));
}

/// A stage that takes what it reads; the copy is made before the clock starts.
fn taking<T: Clone, R>(
    bencher: Bencher<'_, '_>,
    text: Text,
    what: fn(&stage::Prepared) -> &T,
    work: fn(&stage::Prepared, T) -> R,
) {
    let prepared = text.prepared();
    bencher
        .counter(ItemsCount::new(prepared.bars))
        .with_inputs(|| what(prepared).clone())
        .bench_local_values(|value| work(prepared, value));
}

#[divan::bench(name = "1 parse", args = TEXTS)]
fn parse(bencher: Bencher<'_, '_>, text: Text) {
    reading(bencher, text, stage::parse);
}

#[divan::bench(name = "2 interpret", args = TEXTS)]
fn interpret(bencher: Bencher<'_, '_>, text: Text) {
    reading(bencher, text, stage::interpret);
}

#[divan::bench(name = "3 derive", args = TEXTS)]
fn derive(bencher: Bencher<'_, '_>, text: Text) {
    taking(bencher, text, |prepared| &prepared.reading, stage::derive);
}

#[divan::bench(name = "4 playability", args = TEXTS)]
fn playability(bencher: Bencher<'_, '_>, text: Text) {
    reading(bencher, text, stage::playability);
}

#[divan::bench(name = "5 engrave", args = TEXTS)]
fn engrave(bencher: Bencher<'_, '_>, text: Text) {
    reading(bencher, text, stage::engrave);
}

#[divan::bench(name = "6 engrave and pages", args = TEXTS)]
fn engrave_and_pages(bencher: Bencher<'_, '_>, text: Text) {
    reading(bencher, text, stage::pages);
}

#[divan::bench(name = "7 write PDF", args = TEXTS)]
fn write_pdf(bencher: Bencher<'_, '_>, text: Text) {
    taking(bencher, text, |prepared| &prepared.drawing, stage::write_pdf);
}

#[divan::bench(name = "8 write SVG", args = TEXTS)]
fn write_svg(bencher: Bencher<'_, '_>, text: Text) {
    taking(bencher, text, |prepared| &prepared.drawing.pages, stage::write_svg);
}

/// Each stage, as the library offers it.
mod stage {
    use flamacue::drawing::{Drawing, Page};
    use flamacue::engrave::{self, BlockPlace, Engraver, Style, System};
    use flamacue::font::Fonts;
    use flamacue::interpret::{self, Reading};
    use flamacue::pages::{Wanted, sheet::Sheet};
    use flamacue::score::{Item, PlacedBlock, PrintedWords, Score};
    use flamacue::source::{Diagnostics, Source};
    use flamacue::syntax::{self, tree::Document};
    use flamacue::write::format::{Format, Writer, each_page};
    use flamacue::{derive as making, perform};
    use rayon::prelude::*;
    use std::path::Path;
    use std::sync::Arc;

    /// A text, and what each stage makes of it.
    pub struct Prepared {
        /// Bars of the finished score.
        pub bars: usize,
        pub reading: Reading,
        pub drawing: Drawing,
        source: Source,
        document: Document,
        score: Score,
        style: Style,
        fonts: Fonts,
    }

    impl Prepared {
        pub fn new(path: &Path) -> Self {
            let text = std::fs::read_to_string(path).expect("a text to measure");
            let source = syntax::gather(Source::new(path.display().to_string(), text), &|path| {
                std::fs::read_to_string(path).map_err(|error| error.to_string())
            });
            let fonts = Fonts::built_in().expect("the built-in faces");
            let mut diagnostics = Diagnostics::default();
            let document = syntax::parse(&source, &mut diagnostics);
            let reading = interpret::read(&document, &mut diagnostics);
            let budget = making::Budget::of(&source);
            let score =
                making::complete(reading.clone(), &perform::can_play, budget, &mut diagnostics);
            let style = Style::built_in(score.header.look).expect("a built-in style");
            let drawing = set(&source, &score, &fonts, &mut diagnostics);
            assert!(!diagnostics.has_errors(), "{} has faults", path.display());
            let bars = blocks(&score).map(|block| block.part.bars.len()).sum();
            Self { bars, reading, drawing, source, document, score, style, fonts }
        }
    }

    fn blocks(score: &Score) -> impl Iterator<Item = &PlacedBlock> {
        score.items.iter().filter_map(|item| match item {
            Item::Block(block) => Some(block),
            Item::Heading { .. } | Item::Prose(_) => None,
        })
    }

    fn set(
        source: &Source,
        score: &Score,
        fonts: &Fonts,
        diagnostics: &mut Diagnostics,
    ) -> Drawing {
        let composed = flamacue::typeset(source, score, fonts, None, Wanted::Pages, diagnostics);
        composed.expect("pages").drawing
    }

    pub fn parse(prepared: &Prepared) -> Document {
        syntax::parse(&prepared.source, &mut Diagnostics::default())
    }

    pub fn interpret(prepared: &Prepared) -> Reading {
        interpret::read(&prepared.document, &mut Diagnostics::default())
    }

    pub fn derive(prepared: &Prepared, reading: Reading) -> Score {
        let budget = making::Budget::of(&prepared.source);
        making::complete(reading, &perform::can_play, budget, &mut Diagnostics::default())
    }

    pub fn playability(prepared: &Prepared) {
        perform::check(&prepared.source, &prepared.score, &mut Diagnostics::default());
    }

    /// Every block in lines, without a page: alone over the width of the text, in columns over an even
    /// share of it.
    pub fn engrave(prepared: &Prepared) -> Vec<Vec<Arc<System>>> {
        let sheet = Sheet::new(&prepared.score.header, &prepared.style);
        let engraver = Engraver {
            fonts: &prepared.fonts,
            style: &prepared.style,
            space_pt: sheet.space,
            printed: PrintedWords::of(None),
        };
        let blocks: Vec<_> = blocks(&prepared.score).collect();
        let lines = |block: &PlacedBlock| {
            let width = sheet.text_width() / sheet.space;
            match block.settings.columns {
                0 | 1 => engrave::engrave(&engraver, block, BlockPlace::alone(block, width)),
                columns => {
                    let width = width / f64::from(columns);
                    let place = BlockPlace { column: true, ..BlockPlace::alone(block, width) };
                    engrave::engrave(&engraver, block, place)
                }
            }
        };
        blocks.into_par_iter().map(|block| lines(block).systems).collect()
    }

    pub fn pages(prepared: &Prepared) -> Drawing {
        let Prepared { source, score, fonts, .. } = prepared;
        set(source, score, fonts, &mut Diagnostics::default())
    }

    pub fn write_pdf(prepared: &Prepared, drawing: Drawing) -> Vec<u8> {
        let Writer::Drawing(writer) = Format::PDF.writer else { panic!("PDF is one file") };
        writer(drawing, &prepared.fonts, &Default::default()).expect("a PDF")
    }

    pub fn write_svg(prepared: &Prepared, pages: Vec<Page>) -> Vec<Vec<u8>> {
        let Writer::Page(writer) = Format::SVG.writer else {
            panic!("SVG is a file for each page")
        };
        let written = each_page(writer, pages, &prepared.fonts, &Default::default());
        written.into_iter().map(|page| page.expect("an SVG")).collect()
    }
}

//! What is done with a text that was made by chance. It is to end, without a panic and in the memory it is
//! given, and what is said to be the same is to be so.

use crate::same::{self, NAME};
use crate::share;
use flamacue::derive::Budget;
use flamacue::engrave::Style;
use flamacue::font::{Fonts, MusicFont};
use flamacue::pages::Wanted;
use flamacue::practice::{self, Plan};
use flamacue::session::Session;
use flamacue::sound::Kit;
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax;
use flamacue::write::flac::Tags;
use flamacue::write::{Format, WriteOptions, Writer};
use std::io::Cursor;
use std::sync::{Arc, LazyLock};

/// Stands before each edit of a text.
pub const BREAK: char = '\u{1}';
/// Most edits of one text.
const EDITS: usize = 6;
/// Pixels of a picture against those of a screen.
const SMALL: f64 = 0.25;
/// Seconds of sound: an hour is like a moment, but for the time it takes.
const BRIEF: f64 = 8.0;
/// What is set with a style or a font.
const SAMPLE: &str = "title: Agw\n\nSome words, and *A*.\n\ngroove \"Afi\"\n  play   S.ss 'ssc+k s s | [sss]s s~ ss s\n";

static FONTS: LazyLock<Arc<Fonts>> =
    LazyLock::new(|| Arc::new(Fonts::built_in().expect("the built-in faces")));

/// What may be tried.
pub enum Target {
    Check,
    Write(Format),
    Format,
    Expand,
    Session,
    Style,
    Prose,
    Picture,
    TextFont,
    MusicFont,
}

impl Target {
    /// That of a name as `fuzz/run` uses it.
    pub fn of(name: &str) -> Option<Self> {
        Some(match name {
            "check" => Self::Check,
            "fmt" => Self::Format,
            "expand" => Self::Expand,
            "session" => Self::Session,
            "style" => Self::Style,
            "prose" => Self::Prose,
            "picture" => Self::Picture,
            "textfont" => Self::TextFont,
            "musicfont" => Self::MusicFont,
            ending => Self::Write(Format::of_ending(ending)?),
        })
    }

    /// Whether what is tried is a text.
    pub fn takes_text(&self) -> bool {
        !matches!(self, Self::TextFont | Self::MusicFont)
    }

    /// Whether edits follow the text.
    pub fn takes_edits(&self) -> bool {
        matches!(self, Self::Session)
    }

    /// Tries one.
    pub fn run(&self, data: &[u8]) {
        let text = std::str::from_utf8(data);
        match (self, text) {
            (Self::Picture, _) => picture(data),
            (Self::TextFont, _) => text_font(data),
            (Self::MusicFont, _) => music_font(data),
            (_, Err(_)) => {}
            (Self::Check, Ok(text)) => check(text),
            (Self::Write(format), Ok(text)) => write(text, *format),
            (Self::Format, Ok(text)) => self::format(text),
            (Self::Expand, Ok(text)) => expand(text),
            (Self::Session, Ok(text)) => session(text),
            (Self::Style, Ok(text)) => style(text),
            (Self::Prose, Ok(text)) => prose(text),
        }
    }
}

/// What is wrong, as it is told.
fn check(text: &str) {
    let source = Source::new(NAME, text);
    let mut found = Diagnostics::default();
    flamacue::understand(&source, &mut found);
    share::count(!found.has_errors());
    let told = found.render(&source, false);
    assert!(found.is_empty() || !told.is_empty(), "silent about\n{text}");
}

/// A text to the bytes of a file.
fn write(text: &str, format: Format) {
    let source = Source::new(NAME, text);
    let mut found = Diagnostics::default();
    let score = flamacue::understand_within(&source, Budget::of(&source), &mut found);
    share::count(!found.has_errors());
    if found.has_errors() {
        return;
    }
    let mut options = WriteOptions::default();
    options.png.scale = SMALL;
    let mut typeset = |wanted| flamacue::typeset(&source, &score, &FONTS, None, wanted, &mut found);
    match format.writer {
        Writer::Pdf(writer) => {
            let whole = typeset(Wanted::Pages).map(|made| writer(made.drawing, &FONTS, &options));
            let ahead =
                flamacue::typeset_pdf(&source, score, &FONTS, None, options.pdf, &mut found)
                    .map(|pages| pages.write(&FONTS));
            let [whole, ahead] = [whole, ahead].map(|made| made.and_then(Result::ok));
            assert!(whole == ahead, "another file, written as it is set, of\n{text}");
        }
        Writer::Drawing(writer) => {
            let made = typeset(Wanted::Pages);
            let _ = made.map(|made| writer(made.drawing, &FONTS, &options));
        }
        Writer::Page(writer) => {
            let pages = typeset(Wanted::PagesAndPictures).map(|made| made.drawing.pages);
            // One page is like another.
            pages.iter().flatten().take(2).for_each(|page| drop(writer(page, &FONTS, &options)));
        }
        Writer::Flowing(writer) => {
            let made = flamacue::typeset_flowing(&source, &score, &FONTS, None, &mut found);
            let _ = made.map(|made| writer(&made, &FONTS, &options));
        }
        Writer::Score(writer) => drop(writer(&score).map(|file| chunks(&file, text))),
        Writer::Cues(writer) => {
            let Ok(plan) = Plan::of(&score, &practice::Wanted::default()) else { return };
            let made = typeset(Wanted::Pages);
            let _ = made.map(|made| writer(&score, &plan, &made.drawing, &FONTS));
        }
        Writer::Sound(writer) => {
            let plan = Plan::of(&score, &practice::Wanted::default());
            let Some(plan) = plan.ok().filter(|plan| plan.seconds() <= BRIEF) else { return };
            let mut file = Cursor::new(Vec::new());
            let _ = writer(&plan, &mut Kit::own(), &Tags::default(), &mut file);
        }
    }
}

/// The chunks of a MIDI file are as long as they say, and it has nothing else.
fn chunks(file: &[u8], text: &str) {
    let mut rest = file;
    let mut names = Vec::new();
    while let [a, b, c, d, l3, l2, l1, l0, after @ ..] = rest {
        names.push([*a, *b, *c, *d]);
        let length = u32::from_be_bytes([*l3, *l2, *l1, *l0]) as usize;
        rest = after.get(length..).unwrap_or_else(|| panic!("a cut chunk of\n{text}"));
    }
    assert!(rest.is_empty(), "some bytes are left of\n{text}");
    let (head, tracks) = names.split_first().expect("a chunk");
    assert!(head == b"MThd" && tracks.iter().all(|name| name == b"MTrk"), "of\n{text}");
}

/// Nothing is lost, the score is the same, and what is formatted stays as it is.
fn format(text: &str) {
    let Some((tree, score, once)) = same::formatted(text) else { return share::count(false) };
    share::count(true);
    let Some((tree_of_once, score_of_once, twice)) = same::formatted(&once) else {
        panic!("a fault in what was formatted, of\n{text}\nto\n{once}");
    };
    assert_eq!(tree, tree_of_once, "of\n{text}\nto\n{once}");
    assert_eq!(score, score_of_once, "of\n{text}\nto\n{once}");
    assert_eq!(once, twice, "of\n{text}");
}

/// What is written out has no fault and the same pages.
fn expand(text: &str) {
    let source = Source::new(NAME, text);
    let mut found = Diagnostics::default();
    flamacue::explain(&source, &mut found);
    share::count(!found.has_errors());
    let mut found = Diagnostics::default();
    let Some(plain) = flamacue::expand(&source, &mut found) else { return };
    if plain == text {
        return;
    }
    let mut found = Diagnostics::default();
    let Some(pages) = flamacue::compile_pages(&source, &FONTS, None, &mut found) else { return };
    let source = Source::new(NAME, plain.as_str());
    let mut found = Diagnostics::default();
    let Some(plain_pages) = flamacue::compile_pages(&source, &FONTS, None, &mut found) else {
        panic!(
            "written out it has faults, of\n{text}\nto\n{plain}\n{}",
            found.render(&source, false)
        );
    };
    if let Some(how) = same::seen(&plain_pages, &pages) {
        panic!("{how} differ, of\n{text}\nto\n{plain}");
    }
}

/// A text, and edits of it: each a place, how much is cut, and what is put there. After each the session is
/// what a build from nothing is.
fn session(text: &str) {
    let mut parts = text.split(BREAK);
    let mut whole = parts.next().unwrap_or_default().to_owned();
    let mut session = Session::new(NAME, whole.clone(), FONTS.clone());
    let update = session.update(&|| false).expect("nobody stops it");
    share::count(update.current);
    for part in parts.take(EDITS) {
        let mut chars = part.chars();
        let mut number = || chars.next().map_or(0, |c| c as usize);
        let (at, cut) = (number() % (whole.len() + 1), number() % 32);
        let end = (at + cut).min(whole.len());
        if whole.get(at..end).is_none() {
            continue;
        }
        session.edit(NAME, at..end, chars.as_str()).expect("a range of the text");
        let before = whole.clone();
        whole.replace_range(at..end, chars.as_str());
        let update = session.update(&|| false).expect("nobody stops it");
        let mut found = Diagnostics::default();
        let missing = |_: &str| Err("there is no such file or folder".to_owned());
        let source = syntax::gather(Source::new(NAME, whole.as_str()), &missing);
        let anew = flamacue::compile_pages(&source, &FONTS, None, &mut found);
        let what = || format!("of\n{before}\n-- to\n{whole}");
        assert_eq!(session.diagnostics().sorted(), found.sorted(), "{}", what());
        assert_eq!(update.current, anew.is_some(), "{}", what());
        if let (Some(drawing), Some(anew)) = (session.drawing(), anew)
            && let Some(how) = same::whole(&drawing, &anew)
        {
            panic!("{how} differ, {}", what());
        }
    }
}

/// What is set with a style or a font, which is without a fault.
static SAMPLE_SOURCE: LazyLock<Source> = LazyLock::new(|| {
    let source = Source::new(NAME, SAMPLE);
    let mut found = Diagnostics::default();
    flamacue::understand(&source, &mut found);
    assert!(!found.has_errors(), "{}", found.render(&source, false));
    source
});

/// A table of a style, and a text set with it.
fn style(text: &str) {
    let style = Style::from_table(text);
    share::count(style.is_ok());
    if let Ok(style) = style {
        let mut found = Diagnostics::default();
        flamacue::compile_pages(&SAMPLE_SOURCE, &FONTS, Some(&style), &mut found);
    }
}

/// Prose on pages and without.
fn prose(text: &str) {
    let source = Source::new(NAME, format!("title: A\n\nA\n\n{text}"));
    let mut found = Diagnostics::default();
    let score = flamacue::understand(&source, &mut found);
    share::count(!found.has_errors());
    if found.has_errors() {
        return;
    }
    flamacue::typeset(&source, &score, &FONTS, None, Wanted::Pages, &mut found);
    let made = flamacue::typeset_flowing(&source, &score, &FONTS, None, &mut found);
    let _ = made.map(|made| flamacue::write::html::write(&made, &FONTS));
}

/// A picture in prose.
fn picture(data: &[u8]) {
    let name = match data.first() {
        Some(b'<') => "a.svg",
        Some(0xFF) => "a.jpg",
        _ => "a.png",
    };
    let mut source = Source::new(NAME, format!("title: A\n\n![A]({name})\n"));
    source.set_picture(name.to_owned(), Ok(Arc::from(data)));
    let made = flamacue::compile_pages(&source, &FONTS, None, &mut Diagnostics::default());
    share::count(made.is_some());
    // Outlines are as much work for a PDF as any others.
    if let Some(made) = made.filter(|_| name != "a.svg") {
        let _ = flamacue::write::pdf::write(&made, &FONTS);
    }
}

/// Words in a face from elsewhere.
fn text_font(data: &[u8]) {
    let mut fonts = Fonts::built_in().expect("the built-in faces");
    let preferred = fonts.text.prefer(&[("own.ttf".to_owned(), data.to_vec())]);
    share::count(preferred.is_ok());
    if preferred.is_ok() {
        sample(&fonts);
    }
}

/// Signs of a font from elsewhere.
fn music_font(data: &[u8]) {
    let music = MusicFont::from_files(data.to_vec(), "{}");
    share::count(music.is_ok());
    if let Ok(music) = music {
        let text = flamacue::font::TextFonts::built_in().expect("the built-in faces");
        sample(&Fonts { music, text });
    }
}

fn sample(fonts: &Fonts) {
    let mut found = Diagnostics::default();
    let made = flamacue::compile_pages(&SAMPLE_SOURCE, fonts, None, &mut found);
    let _ = made.map(|made| flamacue::write::pdf::write(&made, fonts));
}

//! What is done with a text that was made by chance. Nothing is looked at but whether it ends, without a
//! panic and in the memory it is given.

use flamacue::font::Fonts;
use flamacue::pages::Wanted;
use flamacue::session::Session;
use flamacue::source::{Diagnostics, Source};
use flamacue::write::{Format, WriteOptions, Writer};
use flamacue::{derive::Budget, engrave::Style, syntax};
use std::sync::{Arc, LazyLock};

/// Ends the file before a text that is an edit, and before what is inserted.
const BREAK: char = '\u{1}';
/// Pixels of a picture against those of a screen.
const SMALL: f64 = 0.25;

static FONTS: LazyLock<Arc<Fonts>> =
    LazyLock::new(|| Arc::new(Fonts::built_in().expect("the built-in faces")));
static TARGET: LazyLock<String> =
    LazyLock::new(|| std::env::var("FLAMACUE_FUZZ").unwrap_or_else(|_| "check".to_owned()));

pub fn run(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return picture(data) };
    match TARGET.as_str() {
        "check" => {
            let source = Source::new("fuzz.flam", text);
            let mut found = Diagnostics::default();
            flamacue::compile_pages(&source, &FONTS, None, &mut found);
            found.render(&source, false);
        }
        "fmt" => format(text),
        "expand" => {
            let source = Source::new("fuzz.flam", text);
            flamacue::expand(&source, &mut Diagnostics::default());
            flamacue::explain(&source, &mut Diagnostics::default());
        }
        "session" => session(text),
        "style" => style(text),
        "prose" => write(&format!("title: A\n\nA\n\n{text}"), "html"),
        "picture" => picture(data),
        ending => write(text, ending),
    }
}

/// A text to the bytes of a file, with half the work that may be made of it, for speed.
fn write(text: &str, ending: &str) {
    let source = Source::new("fuzz.flam", text);
    let mut found = Diagnostics::default();
    let score = flamacue::understand_within(&source, Budget::of(&source), &mut found);
    if found.has_errors() {
        return;
    }
    let format = Format::of_ending(ending).expect("a target or the ending of a format");
    let mut options = WriteOptions::default();
    options.png.scale = SMALL;
    let typeset = |found: &mut Diagnostics| {
        flamacue::typeset(&source, &score, &FONTS, None, Wanted::PagesAndPictures, found)
    };
    match format.writer {
        Writer::Drawing(writer) => {
            typeset(&mut found).map(|made| writer(made.drawing, &FONTS, &options));
        }
        Writer::Page(writer) => {
            let pages = typeset(&mut found).map(|made| made.drawing.pages).unwrap_or_default();
            // One page is like another.
            pages.iter().take(2).for_each(|page| drop(writer(page, &FONTS, &options)));
        }
        Writer::Flowing(writer) => {
            flamacue::typeset_flowing(&source, &score, &FONTS, None, &mut found)
                .map(|made| writer(&made, &FONTS, &options));
        }
    }
}

/// What is in order stays as it is.
fn format(text: &str) {
    let once = |text: &str| {
        let source = Source::new("fuzz.flam", text);
        let mut found = Diagnostics::default();
        let document = syntax::parse(&source, &mut found);
        (!found.has_errors()).then(|| syntax::format(&source, &document))
    };
    if let Some(first) = once(text) {
        assert_eq!(once(&first).as_ref(), Some(&first), "formatted twice:\n{text}");
    }
}

/// A text, and edits of it: each a place and what is put there in place of as many characters.
fn session(text: &str) {
    let mut parts = text.split(BREAK);
    let mut whole = parts.next().unwrap_or_default().to_owned();
    let mut session = Session::new("fuzz.flam", whole.clone(), FONTS.clone());
    let _ = session.update(&|| false);
    for part in parts.take(8) {
        let mut chars = part.chars();
        let mut number = || chars.next().map_or(0, |c| c as usize);
        let (at, cut) = (number() % (whole.len() + 1), number() % 32);
        let end = (at + cut).min(whole.len());
        if whole.get(at..end).is_none() {
            continue;
        }
        let new = chars.as_str();
        session.edit("fuzz.flam", at..end, new).expect("a range of the text");
        whole.replace_range(at..end, new);
        let _ = session.update(&|| false);
    }
    // The same as from nothing.
    let mut found = Diagnostics::default();
    let source = Source::new("fuzz.flam", whole.as_str());
    let anew = flamacue::compile_pages(&source, &FONTS, None, &mut found);
    assert_eq!(session.diagnostics().render(&source, false), found.render(&source, false), "{whole}");
    if let (Some(drawing), Some(anew)) = (session.drawing(), anew) {
        assert_eq!(drawing.pages.len(), anew.pages.len(), "{whole}");
    }
}

/// A table of a style, and a text set with it.
fn style(text: &str) {
    let Ok(style) = Style::from_table(text) else { return };
    let source = Source::new(
        "fuzz.flam",
        "title: A\n\nSome words.\n\ngroove \"A\"\n  play   S.ss 'ssc+k | [sss]s s~ ss s\n  stick  R.RL RLR\n",
    );
    flamacue::compile_pages(&source, &FONTS, Some(&style), &mut Diagnostics::default());
}

/// A picture in prose.
fn picture(data: &[u8]) {
    for name in ["a.svg", "a.png"] {
        let mut source = Source::new("fuzz.flam", format!("title: A\n\n![A]({name})\n"));
        source.set_picture(name.to_owned(), Ok(Arc::from(data)));
        flamacue::compile_pages(&source, &FONTS, None, &mut Diagnostics::default());
    }
}

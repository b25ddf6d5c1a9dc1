//! What becomes of one text: nothing of it is kept, and nothing but it and the faces is looked at.

use crate::form::Form;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flamacue::Stop;
use flamacue::font::Fonts;
use flamacue::pages::codes::PICTURE_UNAVAILABLE;
use flamacue::session::{Session, Superseded};
use flamacue::source::{Diagnostics, Source};
use sha2::{Digest as _, Sha256};
use std::sync::Arc;

/// The name faults call a text by.
const NAME: &str = "text.flam";
/// What may stand at the start of a text and is no part of it.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// What is asked for.
#[derive(Debug)]
pub struct Wanted {
    /// The text as it arrived.
    pub text: Vec<u8>,
    pub form: Form,
    /// From 1; only SVG has single pages.
    pub page: usize,
}

/// What a text was answered with, and how it was come to.
#[derive(Debug)]
pub struct Made {
    /// A digest of the very text it was made of, as RFC 9530 writes one, its form, and its page.
    pub of: String,
    /// How many pages the text makes; zero where it has faults.
    pub pages: usize,
    pub outcome: Outcome,
}

#[derive(Debug)]
pub enum Outcome {
    /// The bytes of the form that was asked for.
    Good(Vec<u8>),
    /// The text has faults: the report of them.
    Faults(String),
    /// It makes fewer pages than that.
    NoSuchPage,
    /// It was stopped, as nobody waits for it any more.
    Stopped,
    /// It has no faults and could not be written: why.
    Unwritten(String),
}

/// Makes of a text what is asked for; `stop` is asked now and then whether nobody waits for it any more.
pub fn make(wanted: Wanted, fonts: &Arc<Fonts>, stop: Stop<'_>) -> Made {
    let of = made_of(&wanted);
    let Wanted { text, form, page } = wanted;
    let (pages, outcome) = match String::from_utf8(text) {
        Ok(text) => typeset(&text, (form, page), fonts, stop),
        Err(error) => (0, not_text(error.into_bytes())),
    };
    Made { of, pages, outcome }
}

fn made_of(Wanted { text, form, page }: &Wanted) -> String {
    let digest = STANDARD.encode(Sha256::digest(text));
    match form {
        Form::Svg => format!("sha-256=:{digest}:; form=\"svg\"; page={page}"),
        Form::Pdf => format!("sha-256=:{digest}:; form=\"pdf\""),
        Form::Report => format!("sha-256=:{digest}:; form=\"report\""),
    }
}

/// The place of the first byte that is no text.
fn not_text(bytes: Vec<u8>) -> Outcome {
    match Source::from_bytes(NAME, bytes) {
        Err(why) => Outcome::Faults(format!("{why}\n")),
        // It was no text a moment ago.
        Ok(_) => Outcome::Unwritten("the text can't be read".to_owned()),
    }
}

fn typeset(
    text: &str,
    (form, page): (Form, usize),
    fonts: &Arc<Fonts>,
    stop: Stop<'_>,
) -> (usize, Outcome) {
    let text = text.trim_start_matches(BYTE_ORDER_MARK);
    let mut session = Session::new(NAME, text, fonts.clone());
    let updated = match session.update(stop) {
        Ok(updated) => updated,
        Err(Superseded) => return (0, Outcome::Stopped),
    };
    if let Some(faults) = faults(&session, updated.current) {
        return (0, Outcome::Faults(faults));
    }
    // Pages are written in one go.
    if stop() {
        return (updated.pages, Outcome::Stopped);
    }
    (updated.pages, write(&session, form, page))
}

/// The report of what keeps a text from being written, warnings in it.
fn faults(session: &Session, current: bool) -> Option<String> {
    let found = session.diagnostics();
    let shown = || found.render(session.source(), false);
    let no_picture = || found.sorted().iter().any(|found| found.code == PICTURE_UNAVAILABLE);
    if !current || no_picture() {
        return Some(shown());
    }
    let asked = session.header()?.text_fonts.as_ref()?;
    let mut own = Diagnostics::default();
    own.error(asked.span, "font files can't be read here")
        .mend("take the line out: words are then set in the built-in faces");
    Some(own.render(session.source(), false))
}

fn write(session: &Session, form: Form, page: usize) -> Outcome {
    match form {
        Form::Pdf => match session.pdf() {
            Ok(bytes) => Outcome::Good(bytes.unwrap_or_default()),
            Err(why) => Outcome::Unwritten(why.to_string()),
        },
        Form::Svg => match page.checked_sub(1).and_then(|index| session.svg(index)) {
            Some(svg) => Outcome::Good(svg.into_bytes()),
            None => Outcome::NoSuchPage,
        },
        Form::Report => {
            Outcome::Good(session.diagnostics().render(session.source(), false).into_bytes())
        }
    }
}

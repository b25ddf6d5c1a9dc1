//! Blocks and headings that prose refers to must be there, and have something to be printed for them.

use super::codes;
use crate::rope::Rope;
use crate::score::inline::plain_words;
use crate::score::{Item, Mentions, NamedPlaces, Reference, Told, Unreferable};
use crate::source::{Diagnostics, Span, nearest};

/// Unknown names that a near one is looked for; more are not printed anyway.
const GUESSED: usize = 100;

/// The items of a score with whose references nothing was wrong. By default it keeps nothing.
#[derive(Debug, Default)]
pub(super) struct MentionsMemo {
    keeps: bool,
    clean: Option<Mentions>,
}

impl MentionsMemo {
    /// One that keeps what is found.
    pub(super) fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }
}

/// Reports references to what there is none of, or that nothing can be printed for. Nothing is looked at
/// again that was found in order before.
pub(super) fn check_again(
    items: &Rope<Item>,
    memo: &mut MentionsMemo,
    diagnostics: &mut Diagnostics,
) {
    // The less has changed since, the sooner it is compared.
    memo.clean = memo.clean.take().and_then(|clean| clean.again(items, |_, _| true));
    if memo.clean.is_some() {
        return;
    }
    let mut found = Diagnostics::default();
    check(items, &mut found);
    memo.clean = (memo.keeps && found.is_empty()).then(|| Mentions::of(items));
    diagnostics.absorb(found, 0);
}

fn check(items: &Rope<Item>, diagnostics: &mut Diagnostics) {
    let references: Vec<(&Reference, usize)> = items
        .iter()
        .flat_map(|item| item.references().into_iter().map(|reference| (reference, item.at())))
        .collect();
    if references.is_empty() {
        return;
    }
    let places = NamedPlaces::of(items, &[]);
    let mut unknown = 0;
    for (reference, at) in references {
        let span = reference.span.moved(at);
        let name = &reference.name;
        match places.of_reference(reference) {
            Ok(place) if place.label.is_some() => {}
            Ok(_) => diagnostics
                .error(
                    span,
                    format!("`{name}` has neither a number nor a title that could be printed here"),
                )
                .code(codes::REFERENCE_UNPRINTABLE)
                .mend("give the block a title"),
            Err(Unreferable::Unknown) => {
                unknown += 1;
                let near = (unknown <= GUESSED).then(|| meant(reference, items, &places)).flatten();
                report_unknown(reference, span, near, diagnostics);
            }
            Err(Unreferable::Single) => {
                let right = with_told(format!("@{name}"), reference);
                let mend = format!("write `{right}`");
                diagnostics
                    .error(span, format!("`{name}` is no series, and has no exercises by number"))
                    .code(codes::REFERENCE_EXERCISE)
                    .replace(span, right, mend);
            }
            Err(Unreferable::UpTo(last)) => {
                let wanted = reference.exercise.unwrap_or(0);
                let right = with_told(format!("@{name}.{}", wanted.clamp(1, last)), reference);
                let mend = format!("write `{right}`");
                diagnostics
                    .error(span, format!("`{name}` has exercises 1 to {last}, and no {wanted}"))
                    .code(codes::REFERENCE_EXERCISE)
                    .replace(span, right, mend);
            }
        }
    }
}

/// Tells of a name that nothing has, and what is meant.
fn report_unknown(
    reference: &Reference,
    span: Span,
    near: Option<Meant>,
    diagnostics: &mut Diagnostics,
) {
    let name = &reference.name;
    let fault = diagnostics
        .error(span, format!("no block and no heading is named `{name}`"))
        .code(codes::REFERENCE_UNKNOWN)
        .elsewhere();
    match near {
        Some(Meant::Reference(near)) => {
            let mend = format!("did you mean `{near}`?");
            fault.replace(span, with_told(near, reference), mend);
        }
        Some(Meant::Heading(at, words)) => fault.replace(
            Span::new(at, at),
            format!(" {{#{name}}}"),
            format!(
                "give the heading \u{201c}{words}\u{201d} this name: `{{#{name}}}` after its words"
            ),
        ),
        None => fault.mend(
            "give the block or the heading you mean this name, or write `@@` to print the sign",
        ),
    }
}

/// A reference with what is to be printed of its place.
pub(super) fn with_told(start: String, reference: &Reference) -> String {
    match reference.told {
        Told::Both => start,
        Told::Number => start + ".number",
        Told::Page => start + ".page",
    }
}

/// What an unknown name most likely means.
enum Meant {
    /// Something else that has a name.
    Reference(String),
    /// A heading of these words that has none, which would stand at a byte.
    Heading(usize, String),
}

fn meant(reference: &Reference, items: &Rope<Item>, places: &NamedPlaces<'_>) -> Option<Meant> {
    let name = &reference.name;
    let exercise = reference.exercise.map(|exercise| format!(".{exercise}"));
    let exercise = exercise.unwrap_or_default();
    // An exercise of a series, as `accents-3`.
    let series = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let number = name.get(series.len()..).filter(|number| !number.is_empty());
    let series = series.trim_end_matches('-');
    if let (Some(number), Some(_), None) = (number, places.exercises(series), reference.exercise) {
        return Some(Meant::Reference(format!("@{series}.{number}")));
    }
    let words = |item: &Item| match item {
        Item::Heading { text, end: Some(end), name: None, .. } => {
            let words = plain_words(text);
            let is_it = as_name(&words) == as_name(name);
            is_it.then_some(Meant::Heading(*end, words))
        }
        Item::Heading { .. } | Item::Prose(_) | Item::Block(_) => None,
    };
    if let (Some(heading), None) = (items.iter().find_map(words), reference.exercise) {
        return Some(heading);
    }
    let near = nearest(name, places.names())?;
    Some(Meant::Reference(format!("@{near}{exercise}")))
}

/// Words as the name they would make.
fn as_name(words: &str) -> String {
    let words = words.to_lowercase();
    let parts = words.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join("-")
}

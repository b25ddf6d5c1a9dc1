//! Values of keys: words that are chosen from, and how what was read is set.

use super::counting::{CompoundCount, CountingSystems, OddCount};
use super::setup::{Setup, Voices};
use super::wrong_value::WrongValue;
use crate::score::block_layout::{BarNumbers, Keep, SectionSign, Starts};
use crate::score::front_matter::Isbn;
use crate::score::printing::{Answers, BlocksOnPages};
use crate::score::settings::{
    Chapters, Contents, CountDisplay, Header, Index, Look, NotationKey, Numbers, Rests, Staff,
    StickingPlace,
};
use crate::score::{Level, Limits, Span};
use crate::source::{nearest, say};
use crate::syntax::values::isbn;
use crate::syntax::values::isbn::NoIsbn;
use crate::syntax::values::list::choice;
use crate::syntax::values::speed::strokes_a_second;
use crate::syntax::values::tempo::WrittenTempo;
use std::ops::RangeInclusive;
use std::sync::Arc;

/// How many bars may be asked for on a line.
pub(super) const BARS_ON_LINE: RangeInclusive<u32> = 1..=16;
/// Blocks side by side; more would not hold one bar on any usual paper.
pub(super) const COLUMNS: RangeInclusive<u32> = 1..=4;
/// Numbers a first bar may have.
pub(super) const FIRST_BARS: RangeInclusive<u32> = 1..=9999;
/// Drummers who share the rows of one player, as a line of bass drums does.
pub(super) const DRUMMERS: RangeInclusive<u32> = 1..=10;

/// What a line sets, as often as it is asked to.
#[derive(Clone)]
pub(crate) enum KeyEffect {
    /// Something of the whole file.
    File(Arc<dyn Fn(&mut Header) + Send + Sync>),
    /// Something of music.
    Music(Arc<dyn Fn(&mut Setup) + Send + Sync>),
    /// At the head of a file something of it, and in a block something of its music.
    FileOrMusic(Arc<dyn Fn(&mut Header) + Send + Sync>, Arc<dyn Fn(&mut Setup) + Send + Sync>),
}

/// A value read; an error says what may be written.
pub(super) type Read = Result<KeyEffect, WrongValue>;

/// Words and what they stand for.
pub(super) type Choices<T> = &'static [(&'static str, T)];

pub(super) const ON_OR_OFF: Choices<bool> = &[("on", true), ("off", false)];
pub(super) const SHOW_OR_NONE: Choices<bool> = &[("show", true), ("none", false)];
pub(super) const BLOCKS: Choices<BlocksOnPages> = &[
    ("follow", BlocksOnPages::Follow),
    ("one a page", BlocksOnPages::OneAPage { centred: false }),
    ("one a page, centred", BlocksOnPages::OneAPage { centred: true }),
];
pub(super) const ANSWERS: Choices<Answers> =
    &[("none", Answers::None), ("last page", Answers::LastPage)];
pub(super) const YES_OR_NO: Choices<bool> = &[("yes", true), ("no", false)];
pub(super) const LOOKS: Choices<Look> = &Look::ALL;
pub(super) const CHAPTERS: Choices<Chapters> = &[
    ("follow", Chapters::Follow),
    ("new-page", Chapters::NewPage),
    ("right-page", Chapters::RightPage),
];
pub(super) const CONTENTS: Choices<Contents> = &[
    ("none", Contents::None),
    ("headings", Contents::Headings),
    ("exercises", Contents::Exercises),
];
pub(super) const NUMBERS: Choices<Numbers> =
    &[("continuous", Numbers::Continuous), ("by chapter", Numbers::ByChapter)];
pub(super) const INDEXES: Choices<Index> = &[
    ("none", Index::None),
    ("exercises", Index::Exercises),
    ("techniques", Index::Techniques),
    ("both", Index::Both),
    ("levels", Index::Levels),
];
pub(super) const NOTATION_KEYS: Choices<NotationKey> = &[
    ("none", NotationKey::None),
    ("first page", NotationKey::FirstPage),
    ("last page", NotationKey::LastPage),
];
pub(super) const STAVES: Choices<Staff> =
    &[("five-line", Staff::FiveLines), ("one-line", Staff::OneLine), ("none", Staff::NoLine)];
pub(super) const COUNTS: Choices<CountDisplay> =
    &[("played", CountDisplay::Played), ("all", CountDisplay::All), ("none", CountDisplay::None)];
pub(super) const STICKING: Choices<StickingPlace> = &[
    ("show", StickingPlace::Under),
    ("above", StickingPlace::Above),
    ("none", StickingPlace::Hidden),
];
pub(super) const BAR_NUMBERS: Choices<BarNumbers> = &[
    ("lines", BarNumbers::Lines),
    ("every bar", BarNumbers::EveryBar),
    ("none", BarNumbers::None),
];
pub(super) const SECTIONS: Choices<SectionSign> =
    &[("boxed", SectionSign::Boxed), ("plain", SectionSign::Plain)];
pub(super) const STARTS: Choices<Starts> = &[
    ("follow", Starts::Follow),
    ("new-page", Starts::NewPage),
    ("left-page", Starts::LeftPage),
    ("right-page", Starts::RightPage),
];
pub(super) const KEEP: Choices<Keep> = &[
    ("together", Keep { together: true, with_next: false }),
    ("with next", Keep { together: false, with_next: true }),
    ("together with next", Keep { together: true, with_next: true }),
    ("none", Keep { together: false, with_next: false }),
];
pub(super) const VOICES: Choices<Voices> = &[
    ("auto", Voices::Auto),
    ("one", Voices::One),
    ("two", Voices::Two),
    ("by bar", Voices::ByBar),
];
pub(super) const COMPOUND: Choices<CompoundCount> =
    &[("eighths", CompoundCount::Eighths), ("beats", CompoundCount::Beats)];
pub(super) const ODD: Choices<OddCount> =
    &[("through", OddCount::Through), ("groups", OddCount::Groups)];
pub(super) const RESTS: Choices<Rests> = &[("short", Rests::Short), ("full", Rests::Full)];

/// Sets something of the file to a value, which may be asked for again.
pub(super) fn for_file<T: Clone + Send + Sync + 'static>(
    value: T,
    put: fn(&mut Header, T),
) -> Read {
    Ok(KeyEffect::File(Arc::new(move |header| put(header, value.clone()))))
}

/// The same for music.
pub(super) fn for_music<T: Clone + Send + Sync + 'static>(
    value: T,
    put: fn(&mut Setup, T),
) -> Read {
    Ok(KeyEffect::Music(Arc::new(move |setup| put(setup, value.clone()))))
}

pub(super) fn words(value: &str, put: fn(&mut Header, String)) -> Read {
    if value.is_empty() {
        return Err("write some words after the colon".into());
    }
    for_file(value.to_owned(), put)
}

/// The number of a book.
pub(super) fn isbn(value: &str) -> Result<Isbn, WrongValue> {
    isbn::isbn(value).map_err(|wrong| match wrong {
        NoIsbn::Shape => {
            "write the number alone, with its hyphens: 13 digits that begin with 978 or 979, \
                          or 10 as before 2007"
                .into()
        }
        NoIsbn::CheckDigit(right) => {
            format!("look at its digits again: with these the last would be {right}").into()
        }
    })
}

/// For whom a file is, or how hard a block is.
pub(super) fn level(value: &str) -> Read {
    let stars = || value.parse().ok().filter(|stars| (1..=Level::MOST_STARS).contains(stars));
    let level = match value.parse::<f64>() {
        _ if value.is_empty() => None,
        Ok(_) => stars().map(Level::Stars),
        Err(_) => Some(Level::Words(value.to_owned())),
    };
    let level = level.ok_or("write a level from 1 to 5, or words, as `level: easy`")?;
    let words = value.to_owned();
    Ok(KeyEffect::FileOrMusic(
        Arc::new(move |header| header.level = Some(words.clone())),
        Arc::new(move |setup| setup.level = Some(level.clone())),
    ))
}

/// The tempo to be reached.
pub(super) fn goal(value: &str) -> Read {
    let plain =
        |tempo: &WrittenTempo| tempo.up_to.is_none() && tempo.words.is_none() && tempo.printed;
    let goal = WrittenTempo::read(value)
        .filter(plain)
        .ok_or("write the tempo to be reached, from 10 to 400 beats a minute, such as `120`")?;
    for_music(goal, |s, goal| s.goal = Some(goal))
}

/// A number of strokes, with or without the words after it.
pub(super) fn speed(value: &str, put: fn(&mut Limits, f64)) -> Read {
    let speed =
        strokes_a_second(value).ok_or("write strokes a second from 1 to 30, such as `8`")?;
    Ok(KeyEffect::Music(Arc::new(move |setup| put(&mut setup.limits, speed))))
}

/// A name as blocks have it.
pub(super) fn block_name(value: &str) -> Option<String> {
    let whole = |c: char| c.is_alphanumeric() || c == '-';
    (!value.is_empty() && value.chars().all(whole)).then(|| value.to_owned())
}

/// The name of a counting system, in lower case.
pub(super) fn counting(
    value: &str,
    span: Span,
    systems: &CountingSystems,
) -> Result<String, WrongValue> {
    let names: Vec<&str> = systems.names().collect();
    let name = value.to_lowercase();
    if names.contains(&name.as_str()) {
        return Ok(name);
    }
    let help = format!(
        "it may be {}, or the name of a `syllables` table in this file",
        say::choice(names.clone())
    );
    Err(near_or(nearest(value, names), span, help))
}

pub(super) fn one_of<T: Copy>(
    value: &str,
    span: Span,
    choices: &[(&str, T)],
) -> Result<T, WrongValue> {
    choice(value, choices).ok_or_else(|| {
        let names = || choices.iter().map(|(name, _)| *name);
        let help = format!("it may be {}", say::choice(names()));
        near_or(nearest(&value.to_lowercase(), names()), span, help)
    })
}

/// What may be written, with the word that was meant before it where there is one.
pub(super) fn near_or(near: Option<String>, span: Span, help: String) -> WrongValue {
    match near {
        Some(near) => WrongValue::misspelt(span, &near, format!("did you mean `{near}`? {help}")),
        None => help.into(),
    }
}

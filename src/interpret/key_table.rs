//! Every key: its names, where it may stand, what it may say, and what it sets. The guide's table of
//! keys is held against this one by a test.

use super::counting::{CompoundCount, CountingSystems, OddCount};
use super::setup::{Setup, Voices};
use super::stick_rule;
use super::values;
use super::wrong_value::WrongValue;
use crate::score::block_layout::{BarNumbers, Keep, SectionSign, Starts};
use crate::score::settings::{
    Chapters, Contents, CountDisplay, Header, Index, Look, NotationKey, Numbers, Rests, Staff,
    StickingPlace,
};
use crate::score::{Limits, Span};
use crate::source::{Spanned, nearest, say};
use crate::syntax::values::list::{self, choice};
use crate::syntax::values::speed::strokes_a_second;
use crate::syntax::values::swing::WrittenSwing;
use crate::syntax::values::tempo::WrittenTempo;
use crate::syntax::values::{length, note, paper};
use std::ops::RangeInclusive;
use std::sync::Arc;

/// Heights a five-line staff may have, in millimetres.
const STAFF_HEIGHTS: RangeInclusive<f64> = 3.0..=20.0;
/// What the margin at a book's back may be wider by, in millimetres.
const BINDINGS: RangeInclusive<f64> = 0.0..=40.0;
/// How many bars may be asked for on a line.
const BARS_ON_LINE: RangeInclusive<u32> = 1..=16;
/// Blocks side by side; more would not hold one bar on any usual paper.
const COLUMNS: RangeInclusive<u32> = 1..=4;
/// Numbers a first bar may have.
const FIRST_BARS: RangeInclusive<u32> = 1..=9999;
/// Most font files: regular, bold, italic.
pub(super) const MOST_FONTS: usize = 3;

/// Where a key may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reach {
    /// For the whole file only.
    File,
    /// For the whole file or a whole block.
    Block,
    /// Also from a line of `--` on.
    Set,
}

/// What a line sets, as often as it is asked to.
#[derive(Clone)]
pub(crate) enum KeyEffect {
    /// Something of the whole file.
    File(Arc<dyn Fn(&mut Header) + Send + Sync>),
    /// Something of music.
    Music(Arc<dyn Fn(&mut Setup) + Send + Sync>),
}

/// A value read; an error says what may be written.
type Read = Result<KeyEffect, WrongValue>;

/// One key.
pub(crate) struct KeyDefinition {
    /// Its names; the first is the one it is told by.
    pub(crate) names: &'static [&'static str],
    /// Where it may stand.
    pub(crate) reach: Reach,
    /// What it may say, as the guide has it.
    #[cfg_attr(not(test), allow(dead_code, reason = "held against the guide"))]
    pub(crate) help: &'static str,
    /// Reads its value, trimmed, which stands at a place.
    pub(crate) read: fn(&str, Span, &CountingSystems) -> Read,
}

const fn file(
    names: &'static [&'static str],
    help: &'static str,
    read: fn(&str, Span, &CountingSystems) -> Read,
) -> KeyDefinition {
    KeyDefinition { names, reach: Reach::File, help, read }
}

const fn block(
    name: &'static [&'static str],
    help: &'static str,
    read: fn(&str, Span, &CountingSystems) -> Read,
) -> KeyDefinition {
    KeyDefinition { names: name, reach: Reach::Block, help, read }
}

const fn set(
    name: &'static [&'static str],
    help: &'static str,
    read: fn(&str, Span, &CountingSystems) -> Read,
) -> KeyDefinition {
    KeyDefinition { names: name, reach: Reach::Set, help, read }
}

/// Every key, in the order in which messages list them.
pub(crate) const KEYS: &[KeyDefinition] = &[
    file(&["title"], "words", |v, _, _| words(v, |h, w| h.title = Some(w))),
    file(&["subtitle"], "words", |v, _, _| words(v, |h, w| h.subtitle = Some(w))),
    file(&["author"], "words", |v, _, _| words(v, |h, w| h.author = Some(w))),
    file(&["copyright"], "words", |v, _, _| words(v, |h, w| h.copyright = Some(w))),
    file(&["level"], "words", |v, _, _| words(v, |h, w| h.level = Some(w))),
    file(&["language"], "a language tag such as `en` or `de-CH`", |v, _, _| {
        let tag = list::language(v)
            .map(str::to_owned)
            .ok_or("write a language tag such as `en` or `de-CH`")?;
        for_file(tag, |h, tag| h.language = Some(tag))
    }),
    file(&["page", "paper"], "`a4`, `letter`, `a5 landscape`, `9 x 12 in` ...", |v, _, _| {
        let paper = paper::paper(v)
            .ok_or("write `a4`, `a5`, `letter`, or a size such as `9 x 12 in` or `210 x 297 mm`")?;
        for_file(paper, |h, paper| h.paper = paper)
    }),
    file(&["style"], "`handout`, `stand`, `book`, `screen`", |v, span, _| {
        for_file(one_of(v, span, LOOKS)?, |h, look| h.look = look)
    }),
    file(&["staff-height"], "3 mm to 20 mm", |v, _, _| {
        let height = length::millimetres(v).filter(|h| STAFF_HEIGHTS.contains(h));
        let height = height.ok_or("write a height from 3 to 20 mm, such as `7 mm`")?;
        for_file(height, |h, height| h.staff_height = Some(height))
    }),
    file(&["chapters"], "`follow`, `new-page`, `right-page`", |v, span, _| {
        for_file(one_of(v, span, CHAPTERS)?, |h, chapters| h.chapters = chapters)
    }),
    file(&["contents"], "`none`, `headings`, `exercises`", |v, span, _| {
        for_file(one_of(v, span, CONTENTS)?, |h, contents| h.contents = contents)
    }),
    file(&["binding"], "0 mm to 40 mm", |v, _, _| {
        let width = length::millimetres(v).filter(|width| BINDINGS.contains(width));
        let width = width.ok_or("write a width from 0 to 40 mm, such as `8 mm`")?;
        for_file(width, |h, width| h.binding = Some(width))
    }),
    file(&["title-page"], "`on`, `off`", |v, span, _| {
        for_file(one_of(v, span, ON_OR_OFF)?, |h, on| h.title_page = on)
    }),
    file(&["front-matter"], "`counted`, `roman`", |v, span, _| {
        for_file(one_of(v, span, &[("counted", false), ("roman", true)])?, |h, on| {
            h.roman_front = on
        })
    }),
    file(&["running-heads"], "`on`, `off`", |v, span, _| {
        for_file(one_of(v, span, ON_OR_OFF)?, |h, on| h.running_heads = on)
    }),
    file(&["numbers"], "`continuous`, `by chapter`", |v, span, _| {
        for_file(one_of(v, span, NUMBERS)?, |h, numbers| h.numbers = numbers)
    }),
    file(&["index"], "`none`, `exercises`, `techniques`, `both`", |v, span, _| {
        for_file(one_of(v, span, INDEXES)?, |h, index| h.index = index)
    }),
    file(&["key"], "`none`, `first page`, `last page`", |v, span, _| {
        let value = v.split_whitespace().collect::<Vec<_>>().join(" ");
        for_file((one_of(&value, span, NOTATION_KEYS)?, span), |h, (key, span)| {
            h.key = key;
            h.key_span = span;
        })
    }),
    file(&["text-font"], "one to three font files: regular, bold, italic", |v, span, _| {
        let files = list::files(v);
        if files.is_empty() || files.len() > MOST_FONTS {
            return Err("write a font file, such as `text-font: Kettle.otf`; a bold and an \
                        italic one may follow after commas"
                .into());
        }
        for_file(Spanned { value: files, span }, |h, files| h.text_fonts = Some(files))
    }),
    block(&["staff"], "`five-line`, `one-line`, `none`", |v, span, _| {
        for_music(one_of(v, span, STAVES)?, |s, staff| s.staff = staff)
    }),
    block(&["counts"], "`played`, `all`, `none`", |v, span, _| {
        for_music(one_of(v, span, COUNTS)?, |s, counts| s.counts = counts)
    }),
    block(&["sticking"], "`show`, `above`, `none`", |v, span, _| {
        for_music(one_of(v, span, STICKING)?, |s, place| s.sticking = place)
    }),
    block(
        &["stick"],
        "`natural`, `alternate`, `economy`, each with `left`; `lead left`; `written`",
        |v, span, _| for_music(stick_rule::read(v, span)?, |s, rule| s.stick = rule),
    ),
    block(&["voices"], "`auto`, `one`, `two`, `by bar`", |v, span, _| {
        for_music(one_of(v, span, VOICES)?, |s, voices| s.voices = voices)
    }),
    block(&["bars"], "bars on a line, 1 to 16", |v, _, _| {
        let bars = v.parse().ok().filter(|n| BARS_ON_LINE.contains(n));
        let bars = bars.ok_or("write how many bars stand on a line, from 1 to 16")?;
        for_music(bars, |s, bars| s.bars_per_line = Some(bars))
    }),
    block(&["columns"], "blocks side by side, 1 to 4", |v, _, _| {
        let columns = v.parse().ok().filter(|n| COLUMNS.contains(n));
        let columns = columns.ok_or("write how many blocks stand side by side, from 1 to 4")?;
        for_music(columns, |s, columns| s.columns = columns)
    }),
    block(&["tags"], "words with commas between them, up to 20", |v, _, _| {
        let tags = list::tags(v)
            .ok_or("write up to 20 words with commas between them, as `flams, hands`")?;
        for_music(Arc::<[String]>::from(tags), |s, tags| s.tags = tags)
    }),
    block(&["first-bar"], "the number of its first bar, 1 to 9999", |v, _, _| {
        let number = v.parse().ok().filter(|n| FIRST_BARS.contains(n));
        let number = number.ok_or("write the number of the first bar, from 1 to 9999")?;
        for_music(number, |s, number| s.layout.first_bar = number)
    }),
    block(&["bar-numbers"], "`lines`, `every bar`, `none`", |v, span, _| {
        for_music(one_of(v, span, BAR_NUMBERS)?, |s, shown| s.layout.bar_numbers = shown)
    }),
    block(&["sections"], "`boxed`, `plain`", |v, span, _| {
        for_music(one_of(v, span, SECTIONS)?, |s, sign| s.layout.sections = sign)
    }),
    block(&["starts"], "`follow`, `new-page`, `left-page`, `right-page`", |v, span, _| {
        for_music(one_of(v, span, STARTS)?, |s, starts| s.layout.starts = starts)
    }),
    block(&["keep"], "`together`, `with next`, `together with next`, `none`", |v, span, _| {
        for_music(one_of(v, span, KEEP)?, |s, keep| s.layout.keep = keep)
    }),
    block(&["grace-slurs"], "`yes`, `no`", |v, span, _| {
        for_music(one_of(v, span, YES_OR_NO)?, |s, yes| s.grace_slurs = yes)
    }),
    block(&["fastest-hand"], "strokes a second, 1 to 30", |v, _, _| {
        speed(v, |limits, speed| limits.hand = speed)
    }),
    block(&["fastest-foot"], "strokes a second, 1 to 30", |v, _, _| {
        speed(v, |limits, speed| limits.foot = speed)
    }),
    block(&["double-pedal"], "`yes`, `no`", |v, span, _| {
        for_music(one_of(v, span, YES_OR_NO)?, |s, yes| s.limits.double_pedal = yes)
    }),
    block(&["as-played"], "`yes`, `no`", |v, span, _| {
        for_music(one_of(v, span, YES_OR_NO)?, |s, yes| s.as_played = yes)
    }),
    block(&["pickup"], "a note value: `1/4`, `dotted quarter`", |v, span, _| {
        let length = note::note(v)
            .ok_or("write how long the pickup is, such as `1/4` or `dotted quarter`")?;
        for_music((length, Some(span)), |s, pickup| s.pickup = Some(pickup))
    }),
    set(&["tempo"], "`92`, `92 Slowly`, `dotted quarter = 80`", |v, _, _| {
        let tempo = WrittenTempo::read(v).ok_or(
            "write beats a minute from 10 to 400, such as `92`, `92 Slowly` or `dotted quarter = 80`",
        )?;
        for_music(tempo, |s, tempo| s.tempo = Some(tempo))
    }),
    set(&["time"], "`4/4`, `6/8`, `2+2+3/8`, `common`, `cut`", |v, _, _| {
        let meter = values::meter(v).ok_or(
            "write a time signature such as `4/4`, `6/8`, `2+2+3/8`, `common` or `cut`; the lower number is 1, 2, 4, 8, 16, 32 or 64",
        )?;
        for_music(Arc::new(meter), |s, meter| {
            s.meter = meter;
            s.meter_lost = false;
        })
    }),
    set(&["swing"], "`eighths`, `sixteenths`, with a ratio as `3:2`; `straight`", |v, _, _| {
        let swing = WrittenSwing::read(v)
            .map(values::swing)
            .ok_or("write `eighths`, `sixteenths`, a ratio as in `eighths 3:2`, or `straight`")?;
        for_music(swing, |s, swing| s.swing = swing)
    }),
    set(&["counting"], "`numbers`, `takadimi`, the name of a table", |v, span, systems| {
        for_music(counting(v, span, systems)?, |s, name| s.counting = Some(name))
    }),
    set(&["compound"], "`eighths`, `beats`", |v, span, _| {
        for_music(one_of(v, span, COMPOUND)?, |s, way| s.compound = Some(way))
    }),
    set(&["odd"], "`through`, `groups`", |v, span, _| {
        for_music(one_of(v, span, ODD)?, |s, way| s.odd = Some(way))
    }),
    set(&["rests"], "`short`, `full`", |v, span, _| {
        for_music(one_of(v, span, RESTS)?, |s, rests| s.rests = rests)
    }),
];

/// Words and what they stand for.
type Choices<T> = &'static [(&'static str, T)];

const ON_OR_OFF: Choices<bool> = &[("on", true), ("off", false)];
const YES_OR_NO: Choices<bool> = &[("yes", true), ("no", false)];
const LOOKS: Choices<Look> = &Look::ALL;
const CHAPTERS: Choices<Chapters> = &[
    ("follow", Chapters::Follow),
    ("new-page", Chapters::NewPage),
    ("right-page", Chapters::RightPage),
];
const CONTENTS: Choices<Contents> = &[
    ("none", Contents::None),
    ("headings", Contents::Headings),
    ("exercises", Contents::Exercises),
];
const NUMBERS: Choices<Numbers> =
    &[("continuous", Numbers::Continuous), ("by chapter", Numbers::ByChapter)];
const INDEXES: Choices<Index> = &[
    ("none", Index::None),
    ("exercises", Index::Exercises),
    ("techniques", Index::Techniques),
    ("both", Index::Both),
];
const NOTATION_KEYS: Choices<NotationKey> = &[
    ("none", NotationKey::None),
    ("first page", NotationKey::FirstPage),
    ("last page", NotationKey::LastPage),
];
const STAVES: Choices<Staff> =
    &[("five-line", Staff::FiveLines), ("one-line", Staff::OneLine), ("none", Staff::NoLine)];
const COUNTS: Choices<CountDisplay> =
    &[("played", CountDisplay::Played), ("all", CountDisplay::All), ("none", CountDisplay::None)];
const STICKING: Choices<StickingPlace> = &[
    ("show", StickingPlace::Under),
    ("above", StickingPlace::Above),
    ("none", StickingPlace::Hidden),
];
const VOICES: Choices<Voices> = &[
    ("auto", Voices::Auto),
    ("one", Voices::One),
    ("two", Voices::Two),
    ("by bar", Voices::ByBar),
];
const BAR_NUMBERS: Choices<BarNumbers> = &[
    ("lines", BarNumbers::Lines),
    ("every bar", BarNumbers::EveryBar),
    ("none", BarNumbers::None),
];
const SECTIONS: Choices<SectionSign> =
    &[("boxed", SectionSign::Boxed), ("plain", SectionSign::Plain)];
const STARTS: Choices<Starts> = &[
    ("follow", Starts::Follow),
    ("new-page", Starts::NewPage),
    ("left-page", Starts::LeftPage),
    ("right-page", Starts::RightPage),
];
const KEEP: Choices<Keep> = &[
    ("together", Keep { together: true, with_next: false }),
    ("with next", Keep { together: false, with_next: true }),
    ("together with next", Keep { together: true, with_next: true }),
    ("none", Keep { together: false, with_next: false }),
];
const COMPOUND: Choices<CompoundCount> =
    &[("eighths", CompoundCount::Eighths), ("beats", CompoundCount::Beats)];
const ODD: Choices<OddCount> = &[("through", OddCount::Through), ("groups", OddCount::Groups)];
const RESTS: Choices<Rests> = &[("short", Rests::Short), ("full", Rests::Full)];

/// Sets something of the file to a value, which may be asked for again.
fn for_file<T: Clone + Send + Sync + 'static>(value: T, put: fn(&mut Header, T)) -> Read {
    Ok(KeyEffect::File(Arc::new(move |header| put(header, value.clone()))))
}

/// The same for music.
fn for_music<T: Clone + Send + Sync + 'static>(value: T, put: fn(&mut Setup, T)) -> Read {
    Ok(KeyEffect::Music(Arc::new(move |setup| put(setup, value.clone()))))
}

fn words(value: &str, put: fn(&mut Header, String)) -> Read {
    if value.is_empty() {
        return Err("write some words after the colon".into());
    }
    for_file(value.to_owned(), put)
}

/// A number of strokes, with or without the words after it.
fn speed(value: &str, put: fn(&mut Limits, f64)) -> Read {
    let speed =
        strokes_a_second(value).ok_or("write strokes a second from 1 to 30, such as `8`")?;
    Ok(KeyEffect::Music(Arc::new(move |setup| put(&mut setup.limits, speed))))
}

/// The name of a counting system, in lower case.
fn counting(value: &str, span: Span, systems: &CountingSystems) -> Result<String, WrongValue> {
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

fn one_of<T: Copy>(value: &str, span: Span, choices: &[(&str, T)]) -> Result<T, WrongValue> {
    choice(value, choices).ok_or_else(|| {
        let names = || choices.iter().map(|(name, _)| *name);
        let help = format!("it may be {}", say::choice(names()));
        near_or(nearest(&value.to_lowercase(), names()), span, help)
    })
}

/// What may be written, with the word that was meant before it where there is one.
fn near_or(near: Option<String>, span: Span, help: String) -> WrongValue {
    match near {
        Some(near) => WrongValue::misspelt(span, &near, format!("did you mean `{near}`? {help}")),
        None => help.into(),
    }
}

#[cfg(test)]
mod tests;

//! The `key: value` lines of the header, of a block and of its later sets.

use crate::derive::hands::StickRule;
use crate::interpret::counting::{CompoundCount, OddCount, Systems};
use crate::interpret::values;
use crate::interpret::values::WrittenTempo;
use crate::score::settings::Limits;
use crate::score::settings::{
    BlockSettings, Chapters, Contents, CountDisplay, Header, Index, Look, NotationKey, Numbers,
    Rests, Staff, Swing,
};
use crate::score::{Meter, Time};
use crate::source::say;
use crate::source::{Diagnostics, Span, nearest};
use crate::syntax::tree::Setting;
use std::sync::Arc;

/// Heights a five-line staff may have, in millimetres.
const STAFF_HEIGHTS: std::ops::RangeInclusive<f64> = 3.0..=20.0;
/// The widest addition to the margin at a book's back, in millimetres.
const WIDEST_BINDING: f64 = 40.0;
/// Strokes a second that a limb may be said to keep up.
const SPEEDS: std::ops::RangeInclusive<f64> = 1.0..=30.0;
/// Most bars asked for on a line.
const MOST_BARS_ON_LINE: u32 = 16;
/// Most tags of a block.
const MOST_TAGS: usize = 20;
/// What a thing that is there or not can be.
const ON_OR_OFF: &[(&str, bool)] = &[("on", true), ("off", false)];
/// Most blocks side by side; more would not hold one bar on any usual paper.
const MOST_COLUMNS: u32 = 4;

/// Where keys stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Place {
    /// At the head of the file.
    Header,
    /// Among the rows of a block's first set.
    Block,
    /// After a line of `--`.
    LaterSet,
}

/// Where a key may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reach {
    /// For the whole file only.
    File,
    /// For the whole file or a whole block.
    Block,
    /// Also from a line of `--` on.
    Set,
}

const KEYS: &[(&str, Reach)] = &[
    ("title", Reach::File),
    ("subtitle", Reach::File),
    ("author", Reach::File),
    ("copyright", Reach::File),
    ("level", Reach::File),
    ("language", Reach::File),
    ("page", Reach::File),
    ("paper", Reach::File),
    ("style", Reach::File),
    ("staff-height", Reach::File),
    ("chapters", Reach::File),
    ("contents", Reach::File),
    ("binding", Reach::File),
    ("title-page", Reach::File),
    ("front-matter", Reach::File),
    ("running-heads", Reach::File),
    ("numbers", Reach::File),
    ("index", Reach::File),
    ("key", Reach::File),
    ("text-font", Reach::File),
    ("staff", Reach::Block),
    ("counts", Reach::Block),
    ("sticking", Reach::Block),
    ("stick", Reach::Block),
    ("voices", Reach::Block),
    ("bars", Reach::Block),
    ("columns", Reach::Block),
    ("tags", Reach::Block),
    ("grace-slurs", Reach::Block),
    ("fastest-hand", Reach::Block),
    ("fastest-foot", Reach::Block),
    ("double-pedal", Reach::Block),
    ("pickup", Reach::Block),
    ("tempo", Reach::Set),
    ("time", Reach::Set),
    ("swing", Reach::Set),
    ("counting", Reach::Set),
    ("compound", Reach::Set),
    ("odd", Reach::Set),
    ("rests", Reach::Set),
];

/// Keys that may stand in a block.
pub(crate) fn block_keys() -> impl Iterator<Item = &'static str> {
    KEYS.iter().filter(|(_, reach)| *reach != Reach::File).map(|(name, _)| *name)
}

/// Whether a key may stand in a block.
pub(crate) fn is_block_key(key: &str) -> bool {
    block_keys().any(|name| name == key)
}

/// Whether a line has a key that holds for the whole document only.
pub(crate) fn is_document_key(setting: &Setting) -> bool {
    let known = KEYS.iter().find(|(name, _)| is(setting, name));
    known.is_some_and(|(_, reach)| *reach == Reach::File)
}

/// Whether a line has this key.
pub(crate) fn is(setting: &Setting, key: &str) -> bool {
    setting.key.value.eq_ignore_ascii_case(key)
}

/// How many voices a block is set in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Voices {
    /// As few as read well.
    #[default]
    Auto,
    /// One.
    One,
    /// Hands up, feet down.
    Two,
    /// Two in the bars that call for it.
    ByBar,
}

/// Everything keys can say of music.
#[derive(Clone, Debug)]
pub(crate) struct Setup {
    pub(crate) tempo: Option<WrittenTempo>,
    pub(crate) meter: Arc<Meter>,
    pub(crate) swing: Option<Swing>,
    pub(crate) staff: Staff,
    pub(crate) counts: CountDisplay,
    pub(crate) sticking: bool,
    pub(crate) counting: Option<String>,
    pub(crate) compound: Option<CompoundCount>,
    pub(crate) odd: Option<OddCount>,
    pub(crate) rests: Rests,
    pub(crate) voices: Voices,
    pub(crate) bars_per_line: Option<u32>,
    pub(crate) columns: u32,
    pub(crate) tags: Arc<[String]>,
    pub(crate) grace_slurs: bool,
    pub(crate) pickup: Option<(Time, Span)>,
    /// How the hands are told apart where no letters are written.
    pub(crate) stick: Option<StickRule>,
    /// What hands and feet can do.
    pub(crate) limits: Limits,
}

impl Default for Setup {
    fn default() -> Self {
        let plain = BlockSettings::default();
        Self {
            tempo: None,
            meter: Arc::new(Meter::four_four()),
            swing: None,
            staff: plain.staff,
            counts: plain.counts,
            sticking: plain.sticking,
            counting: None,
            compound: None,
            odd: None,
            rests: plain.rests,
            voices: Voices::Auto,
            bars_per_line: None,
            columns: plain.columns,
            tags: plain.tags,
            grace_slurs: plain.grace_slurs,
            pickup: None,
            stick: None,
            limits: plain.limits,
        }
    }
}

impl Setup {
    /// What the engraver needs to know of it.
    pub(crate) fn block_settings(&self) -> BlockSettings {
        BlockSettings {
            tempo: self.tempo.as_ref().map(|t| t.under(&self.meter)),
            swing: self.swing,
            staff: self.staff,
            counts: self.counts,
            sticking: self.sticking,
            rests: self.rests,
            bars_per_line: self.bars_per_line,
            columns: self.columns,
            tags: self.tags.clone(),
            grace_slurs: self.grace_slurs,
            limits: self.limits,
        }
    }

    /// Takes the keys of one place. Returns the names of the keys that were taken.
    pub(crate) fn take(
        &mut self,
        settings: &[Setting],
        place: Place,
        header: &mut Header,
        systems: &Systems,
        diagnostics: &mut Diagnostics,
    ) -> Vec<&'static str> {
        let mut taken: Vec<&'static str> = Vec::new();
        for setting in settings {
            let key = setting.key.value.to_lowercase();
            let Some((name, reach)) = KEYS.iter().find(|(name, _)| *name == key) else {
                unknown_key(setting, place, diagnostics);
                continue;
            };
            let fits = match place {
                Place::Header => true,
                Place::Block => *reach != Reach::File,
                Place::LaterSet => *reach == Reach::Set,
            };
            if !fits {
                misplaced(setting, name, *reach, diagnostics);
                continue;
            }
            let same = if *name == "paper" { "page" } else { name };
            if taken.contains(&same) {
                diagnostics
                    .error(setting.key.span, format!("`{name}` is said twice here"))
                    .mend("keep one of the two lines");
                continue;
            }
            taken.push(same);
            let value = setting.value.value.trim();
            if let Err(may_be) = self.set(name, value, setting.value.span, header, systems) {
                let span = if value.is_empty() { setting.key.span } else { setting.value.span };
                let message = if value.is_empty() {
                    format!("`{name}:` says nothing")
                } else {
                    format!("`{value}` is no value for `{name}`")
                };
                diagnostics.error(span, message).mend(may_be);
            }
        }
        taken
    }

    /// Takes one value; an error is what the value may be.
    fn set(
        &mut self,
        name: &str,
        value: &str,
        span: Span,
        header: &mut Header,
        systems: &Systems,
    ) -> Result<(), String> {
        let words = || {
            let text = value.to_owned();
            if text.is_empty() {
                Err("write some words after the colon".to_owned())
            } else {
                Ok(text)
            }
        };
        match name {
            "title" => header.title = Some(words()?),
            "subtitle" => header.subtitle = Some(words()?),
            "author" => header.author = Some(words()?),
            "copyright" => header.copyright = Some(words()?),
            "level" => header.level = Some(words()?),
            "language" => header.language = Some(language(value)?),
            "page" | "paper" => {
                header.paper = values::paper(value).ok_or(
                    "write `a4`, `a5`, `letter`, or a size such as `9 x 12 in` or `210 x 297 mm`",
                )?;
            }
            "style" => {
                header.look = one_of(
                    value,
                    &[
                        ("handout", Look::Handout),
                        ("stand", Look::Stand),
                        ("book", Look::Book),
                        ("screen", Look::Screen),
                    ],
                )?;
            }
            "staff-height" => {
                header.staff_height = Some(
                    values::millimetres(value)
                        .filter(|h| STAFF_HEIGHTS.contains(h))
                        .ok_or("write a height from 3 to 20 mm, such as `7 mm`")?,
                );
            }
            "chapters" => {
                header.chapters = one_of(
                    value,
                    &[
                        ("follow", Chapters::Follow),
                        ("new-page", Chapters::NewPage),
                        ("right-page", Chapters::RightPage),
                    ],
                )?;
            }
            "contents" => {
                header.contents = one_of(
                    value,
                    &[
                        ("none", Contents::None),
                        ("headings", Contents::Headings),
                        ("exercises", Contents::Exercises),
                    ],
                )?;
            }
            "binding" => {
                header.binding = Some(
                    values::millimetres(value)
                        .filter(|width| (0.0..=WIDEST_BINDING).contains(width))
                        .ok_or("write a width from 0 to 40 mm, such as `8 mm`")?,
                );
            }
            "title-page" => header.title_page = one_of(value, ON_OR_OFF)?,
            "running-heads" => header.running_heads = one_of(value, ON_OR_OFF)?,
            "front-matter" => {
                header.roman_front = one_of(value, &[("counted", false), ("roman", true)])?;
            }
            "numbers" => {
                let choices =
                    [("continuous", Numbers::Continuous), ("by chapter", Numbers::ByChapter)];
                header.numbers = one_of(value, &choices)?;
            }
            "index" => {
                header.index = one_of(
                    value,
                    &[
                        ("none", Index::None),
                        ("exercises", Index::Exercises),
                        ("techniques", Index::Techniques),
                        ("both", Index::Both),
                    ],
                )?;
            }
            "text-font" => {
                let files = values::files(value);
                if files.is_empty() || files.len() > 3 {
                    return Err(
                        "write a font file, such as `text-font: Kettle.otf`; a bold and an \
                                italic one may follow after commas"
                            .into(),
                    );
                }
            }
            "key" => {
                header.key = one_of(
                    &value.split_whitespace().collect::<Vec<_>>().join(" "),
                    &[
                        ("none", NotationKey::None),
                        ("first page", NotationKey::FirstPage),
                        ("last page", NotationKey::LastPage),
                    ],
                )?;
                header.key_span = span;
            }
            "tempo" => {
                self.tempo = Some(values::tempo(value).ok_or(
                    "write beats a minute from 10 to 400, such as `92`, `92 Slowly` or `dotted quarter = 80`",
                )?);
            }
            "time" => {
                self.meter = Arc::new(values::meter(value).ok_or(
                    "write a time signature such as `4/4`, `6/8`, `2+2+3/8`, `common` or `cut`; the lower number is 1, 2, 4, 8, 16, 32 or 64",
                )?);
            }
            "swing" => {
                self.swing = values::swing(value).ok_or(
                    "write `eighths`, `sixteenths`, a ratio as in `eighths 3:2`, or `straight`",
                )?;
            }
            "staff" => {
                self.staff = one_of(
                    value,
                    &[
                        ("five-line", Staff::FiveLines),
                        ("one-line", Staff::OneLine),
                        ("none", Staff::NoLine),
                    ],
                )?;
            }
            "counts" => {
                self.counts = one_of(
                    value,
                    &[
                        ("played", CountDisplay::Played),
                        ("all", CountDisplay::All),
                        ("none", CountDisplay::None),
                    ],
                )?;
            }
            "sticking" => self.sticking = one_of(value, &[("show", true), ("none", false)])?,
            "stick" => self.stick = StickRule::read(value)?,
            "counting" => {
                let names: Vec<&str> = systems.names().collect();
                let name = value.to_lowercase();
                if !names.contains(&name.as_str()) {
                    let near = nearest(value, names.iter().copied())
                        .map(|near| format!("did you mean `{near}`? "))
                        .unwrap_or_default();
                    return Err(format!(
                        "{near}it may be {}, or the name of a `syllables` table in this file",
                        say::choice(names)
                    ));
                }
                self.counting = Some(name);
            }
            "compound" => {
                self.compound = Some(one_of(
                    value,
                    &[("eighths", CompoundCount::Eighths), ("beats", CompoundCount::Beats)],
                )?);
            }
            "odd" => {
                self.odd = Some(one_of(
                    value,
                    &[("through", OddCount::Through), ("groups", OddCount::Groups)],
                )?);
            }
            "rests" => {
                self.rests = one_of(value, &[("short", Rests::Short), ("full", Rests::Full)])?;
            }
            "voices" => {
                self.voices = one_of(
                    value,
                    &[
                        ("auto", Voices::Auto),
                        ("one", Voices::One),
                        ("two", Voices::Two),
                        ("by bar", Voices::ByBar),
                    ],
                )?;
            }
            "bars" => {
                self.bars_per_line = Some(
                    value
                        .parse()
                        .ok()
                        .filter(|n| (1..=MOST_BARS_ON_LINE).contains(n))
                        .ok_or("write how many bars stand on a line, from 1 to 16")?,
                );
            }
            "columns" => {
                self.columns = value
                    .parse()
                    .ok()
                    .filter(|n| (1..=MOST_COLUMNS).contains(n))
                    .ok_or("write how many blocks stand side by side, from 1 to 4")?;
            }
            "tags" => self.tags = tags(value)?,
            "fastest-hand" => self.limits.hand = strokes_a_second(value)?,
            "fastest-foot" => self.limits.foot = strokes_a_second(value)?,
            "double-pedal" => {
                self.limits.double_pedal = one_of(value, &[("yes", true), ("no", false)])?;
            }
            "grace-slurs" => self.grace_slurs = one_of(value, &[("yes", true), ("no", false)])?,
            "pickup" => {
                let length = values::note(value)
                    .ok_or("write how long the pickup is, such as `1/4` or `dotted quarter`")?;
                self.pickup = Some((length, span));
            }
            _ => {}
        }
        Ok(())
    }
}

/// Words between commas, each once.
fn tags(value: &str) -> Result<Arc<[String]>, String> {
    let mut tags: Vec<String> = Vec::new();
    for tag in value.split(',').map(str::trim).filter(|tag| !tag.is_empty()) {
        if !tags.iter().any(|other| other.eq_ignore_ascii_case(tag)) {
            tags.push(tag.to_owned());
        }
    }
    if tags.is_empty() || tags.len() > MOST_TAGS {
        return Err("write up to 20 words with commas between them, as `flams, hands`".to_owned());
    }
    Ok(tags.into())
}

fn one_of<T: Copy>(value: &str, choices: &[(&str, T)]) -> Result<T, String> {
    let word = value.to_lowercase();
    choices.iter().find(|(name, _)| *name == word).map(|(_, choice)| *choice).ok_or_else(|| {
        let near = nearest(&word, choices.iter().map(|(name, _)| *name))
            .map(|near| format!("did you mean `{near}`? "))
            .unwrap_or_default();
        format!("{near}it may be {}", say::choice(choices.iter().map(|(name, _)| *name)))
    })
}

/// A number of strokes, with or without the words after it.
fn strokes_a_second(value: &str) -> Result<f64, String> {
    let number = value.trim_end_matches("strokes a second").trim();
    number
        .parse()
        .ok()
        .filter(|n| SPEEDS.contains(n))
        .ok_or_else(|| "write strokes a second from 1 to 30, such as `8`".to_owned())
}

/// A tag of letters and figures joined by hyphens, first two or three letters (BCP 47).
fn language(value: &str) -> Result<String, String> {
    let mut parts = value.split('-');
    let first = parts.next().unwrap_or("");
    let good = (2..=3).contains(&first.len())
        && first.chars().all(|c| c.is_ascii_alphabetic())
        && parts
            .all(|p| (1..=8).contains(&p.len()) && p.chars().all(|c| c.is_ascii_alphanumeric()));
    if good {
        Ok(value.to_owned())
    } else {
        Err("write a language tag such as `en` or `de-CH`".to_owned())
    }
}

fn unknown_key(setting: &Setting, place: Place, diagnostics: &mut Diagnostics) {
    let word = setting.key.value.as_str();
    let known = KEYS.iter().filter(|(_, reach)| match place {
        Place::Header => true,
        Place::Block => *reach != Reach::File,
        Place::LaterSet => *reach == Reach::Set,
    });
    let names: Vec<&str> = known.map(|(name, _)| *name).collect();
    let mend = if word.eq_ignore_ascii_case("kit") {
        "a kit is a block of its own: a line `kit`, and a row for each letter under it".to_owned()
    } else {
        match nearest(word, names.iter().copied()) {
            Some(near) => format!("did you mean `{near}:`?"),
            None => format!("the keys that may stand here are {}", say::listed(names)),
        }
    };
    diagnostics.error(setting.key.span, format!("there is no key `{word}`")).mend(mend);
}

fn misplaced(setting: &Setting, name: &str, reach: Reach, diagnostics: &mut Diagnostics) {
    let (message, mend) = match reach {
        Reach::File => (
            format!("`{name}` holds for the whole file"),
            "write it at the head of the file, before the first blank line".to_owned(),
        ),
        _ => (
            format!("`{name}` holds for the whole block"),
            "write it above the first line of `--`".to_owned(),
        ),
    };
    diagnostics.error(setting.key.span, message).mend(mend);
}

//! The rows under the staff: sticking, foot sticking, counts, words. Each stands on one baseline in
//! a system, each letter centred under its note.

use super::grace;
use super::voice::VoiceShape;
use crate::drawing::{Ink, Kind};
use crate::engrave::engraver::Engraver;
use crate::font::{FaceStyle, GlyphRun};
use crate::score::Span;
use crate::score::meter::MeterKind;
use crate::score::settings::{CountDisplay, StickingPlace};
use crate::score::{Bar, Hand, PlayerPart, Sticking, Syllable, Time, Words};
use smallvec::{SmallVec, smallvec};
use std::sync::Arc;

/// Size of a letter in brackets against that over it (no source).
const OTHER: f64 = 0.85;
/// Between letters of one note (no source).
const LETTER_GAP: f64 = 0.1;
/// The least length of a rule to write on, and the height over it that is kept clear: a letter written by
/// hand (no source).
const BLANK_WIDTH: f64 = 1.9;
const BLANK_HEIGHT: f64 = 2.2;

/// A row of words under the staff. Dynamics stand above them all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnderRow {
    /// Letters of the hands.
    Sticking,
    /// The other hands that may play what these letters say.
    OtherSticking,
    /// Letters of the feet.
    Pedalling,
    /// The other feet.
    OtherPedalling,
    /// Counting syllables.
    Counts,
    /// Free words.
    Words,
}

impl UnderRow {
    /// All of them in their order from the staff downwards.
    pub const ALL: [Self; 6] = [
        Self::Sticking,
        Self::OtherSticking,
        Self::Pedalling,
        Self::OtherPedalling,
        Self::Counts,
        Self::Words,
    ];

    /// Those that may stand over the staff, from there upwards.
    pub const OVER: [Self; 2] = [Self::Sticking, Self::OtherSticking];

    /// What its marks are.
    pub fn kind(self) -> Kind {
        match self {
            Self::Sticking | Self::OtherSticking => Kind::Sticking,
            Self::Pedalling | Self::OtherPedalling => Kind::Pedalling,
            Self::Counts => Kind::Count,
            Self::Words => Kind::Words,
        }
    }

    /// Whether it has the letters of hands or feet.
    pub fn is_letters(self) -> bool {
        match self {
            Self::Sticking | Self::Pedalling => true,
            Self::OtherSticking | Self::OtherPedalling | Self::Counts | Self::Words => false,
        }
    }

    /// Whether it has letters, or others for them in brackets.
    fn says_limb(self) -> bool {
        match self {
            Self::Sticking | Self::OtherSticking | Self::Pedalling | Self::OtherPedalling => true,
            Self::Counts | Self::Words => false,
        }
    }

    /// The face of its words: hands, feet, counts and words are told apart at a glance.
    fn face(self) -> FaceStyle {
        match self {
            Self::Sticking => FaceStyle::Semibold,
            Self::Pedalling => FaceStyle::SemiboldItalic,
            Self::OtherSticking | Self::Counts => FaceStyle::Regular,
            Self::OtherPedalling | Self::Words => FaceStyle::Italic,
        }
    }

    /// Whether it is left to be filled in by hand: a rule stands under the place of each of its words.
    pub fn is_blank(self, part: &PlayerPart) -> bool {
        let blank = part.settings.blank;
        match self {
            Self::Sticking | Self::Pedalling => blank.sticking,
            Self::Counts => blank.counts,
            Self::OtherSticking | Self::OtherPedalling | Self::Words => false,
        }
    }

    /// How high it stands over its baseline, in staff spaces.
    pub fn ascent(self, engraver: &Engraver<'_>, part: &PlayerPart) -> f64 {
        let capitals = engraver.fonts.text.cap_height(FaceStyle::Regular);
        let ascent = capitals * engraver.pt(self.points(engraver));
        if self.is_blank(part) { ascent.max(BLANK_HEIGHT) } else { ascent }
    }

    /// Size of its words in points.
    pub fn points(self, engraver: &Engraver<'_>) -> f64 {
        match self {
            Self::Sticking | Self::Pedalling => engraver.points(engraver.style.sticking),
            Self::OtherSticking | Self::OtherPedalling => {
                engraver.points(engraver.style.sticking) * OTHER
            }
            Self::Counts => engraver.points(engraver.style.count),
            Self::Words => engraver.points(engraver.style.words),
        }
    }
}

/// Words of a row at one moment.
#[derive(Clone, Debug)]
pub struct RowItem {
    /// When.
    pub at: Time,
    /// The words, each with the place of its centre from the centre of its column.
    pub parts: SmallVec<[(Arc<GlyphRun>, f64); 1]>,
    /// Ink to the left of the column's centre.
    pub left: f64,
    /// Ink to the right.
    pub right: f64,
    /// How dark it is.
    pub ink: Ink,
    /// Where it is written.
    pub place: Option<Span>,
}

/// Moments that need a column though nothing may sound there.
pub fn times(bar: &Bar) -> impl Iterator<Item = Time> + '_ {
    let counts = bar.counts.iter().map(|s| s.at);
    let words = bar.words.iter().map(|w| w.at);
    let sticking = bar.sticking.iter().chain(&bar.pedalling).map(|s| s.at);
    counts.chain(words).chain(sticking)
}

/// What a bar has in one row. `voices` places grace letters under their grace notes; without it
/// they stand close before their capital.
pub fn items(
    engraver: &Engraver<'_>,
    part: &PlayerPart,
    bar: &Bar,
    row: UnderRow,
    voices: &[VoiceShape],
) -> Vec<RowItem> {
    if part.settings.sticking == StickingPlace::Hidden && row.says_limb() {
        return Vec::new();
    }
    let letters = |of: &[Sticking]| of.iter().map(|s| letters(engraver, row, s, voices)).collect();
    let others = |of: &[Sticking]| match part.settings.blank.sticking {
        true => Vec::new(),
        false => of.iter().filter_map(|s| other(engraver, row, s)).collect(),
    };
    let mut items: Vec<RowItem> = match row {
        UnderRow::Sticking => letters(&bar.sticking),
        UnderRow::OtherSticking => others(&bar.sticking),
        UnderRow::Pedalling => letters(&bar.pedalling),
        UnderRow::OtherPedalling => others(&bar.pedalling),
        UnderRow::Counts if part.settings.counts == CountDisplay::None => Vec::new(),
        UnderRow::Counts => counts(engraver, bar),
        UnderRow::Words => words(engraver, bar),
    };
    if row.is_blank(part) {
        items.iter_mut().for_each(RowItem::make_room_to_write);
    }
    items
}

fn counts(engraver: &Engraver<'_>, bar: &Bar) -> Vec<RowItem> {
    let points = UnderRow::Counts.points(engraver);
    let shown = bar.counts.iter().filter(|s| !s.text.is_empty());
    let beats = beats(bar);
    let item = |s: &Syllable| {
        let ink = if s.sounded { Ink::Black } else { Ink::Grey };
        // What divides a beat is lighter than its number.
        let beat = beats.contains(&(s.at + bar.offset));
        let face = UnderRow::Counts.face();
        let face = if beat { face.heavier() } else { face };
        let shaped = engraver.words(&s.text, face, points);
        RowItem { ink, ..RowItem::single(s.at, shaped, None) }
    };
    shown.map(item).collect()
}

/// Where the beats of a bar begin, or the groups of beats too short to be felt one by one.
fn beats(bar: &Bar) -> Vec<Time> {
    let short = bar.meter.kind == MeterKind::Simple && bar.meter.unit() < Time::QUARTER;
    let groups = if short { bar.beam_groups() } else { bar.meter.beam_groups() };
    let groups = groups.into_iter();
    let ends = groups.scan(Time::ZERO, |at, length| {
        *at += length;
        Some(*at)
    });
    std::iter::once(Time::ZERO).chain(ends).collect()
}

fn words(engraver: &Engraver<'_>, bar: &Bar) -> Vec<RowItem> {
    let points = UnderRow::Words.points(engraver);
    let item = |w: &Words| {
        let shaped = engraver.words(&w.text, UnderRow::Words.face(), points);
        RowItem::single(w.at, shaped, Some(w.span))
    };
    bar.words.iter().map(item).collect()
}

impl RowItem {
    fn make_room_to_write(&mut self) {
        self.left = self.left.max(BLANK_WIDTH / 2.0);
        self.right = self.right.max(BLANK_WIDTH / 2.0);
    }

    /// Words of a width, centred on a moment.
    fn single(at: Time, (run, width): (Arc<GlyphRun>, f64), place: Option<Span>) -> Self {
        let half = width / 2.0;
        Self { at, parts: smallvec![(run, 0.0)], left: half, right: half, ink: Ink::Black, place }
    }
}

/// A letter's capital.
fn capital(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "R",
        Hand::Left => "L",
        Hand::Both => "B",
    }
}

/// The other hand that may play what a letter says, in brackets.
fn other(engraver: &Engraver<'_>, row: UnderRow, sticking: &Sticking) -> Option<RowItem> {
    let words = format!("({})", capital(sticking.other?));
    let shaped = engraver.words(&words, row.face(), row.points(engraver));
    Some(RowItem::single(sticking.at, shaped, Some(sticking.span)))
}

fn letters(
    engraver: &Engraver<'_>,
    row: UnderRow,
    sticking: &Sticking,
    voices: &[VoiceShape],
) -> RowItem {
    let points = row.points(engraver);
    let (run, width) = engraver.words(capital(sticking.hand), row.face(), points);
    let mut left = width / 2.0;
    let right = left;
    let mut parts = SmallVec::new();
    let chord = voices.iter().find_map(|voice| {
        voice.chord_at(sticking.at).filter(|c| c.grace.len() == sticking.grace.len())
    });
    let centres = chord.map(|c| grace::centres(engraver, c)).unwrap_or_default();
    let mut close = -left - LETTER_GAP;
    let grace: Vec<_> = sticking
        .grace
        .iter()
        .map(|hand| {
            let letter = capital(*hand).to_lowercase();
            let face =
                if row == UnderRow::Pedalling { FaceStyle::Italic } else { FaceStyle::Regular };
            engraver.words(&letter, face, points)
        })
        .collect();
    for (index, (run, width)) in grace.into_iter().enumerate().rev() {
        let wanted = centres.get(index).copied().unwrap_or(close);
        let centre = wanted.min(close - width / 2.0);
        close = centre - width / 2.0 - LETTER_GAP;
        left = left.max(-close - LETTER_GAP);
        parts.insert(0, (run, centre));
    }
    parts.push((run, 0.0));
    let place = Some(sticking.span);
    RowItem { at: sticking.at, parts, left, right, ink: Ink::Black, place }
}

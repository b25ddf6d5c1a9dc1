//! A bar that knows its widths before it has a place: written rhythm, chord shapes, columns with
//! the ink to their left and right, and the room it wants.

use super::abbreviation::Shown;
use super::barlines::closing_width;
use super::beaming;
use super::beaming::Beam;
use super::chord;
use super::chord::{ChordShape, Stems};
use super::engraver::Engraver;
use super::gaps;
use super::gaps::Gap;
use super::opening::opening_width;
use super::rhythm;
use super::rhythm::{EventKind, WrittenRhythm};
use super::rows;
use super::symbol::{flag_glyph, rest_glyph};
use super::{grace, note, pauses};
use crate::score::Time;
use crate::score::{Again, Bar, Block, Voice};

/// One voice of a bar, written and shaped.
#[derive(Clone, Debug)]
pub struct VoiceShape {
    /// Its notes, rests and tuplets.
    pub rhythm: WrittenRhythm,
    /// A shape for each event that is a chord.
    pub chords: Vec<Option<ChordShape>>,
    /// Its beams.
    pub beams: Vec<Beam>,
    /// Which way its stems point.
    pub stems: Stems,
}

/// All that begins at one moment.
#[derive(Clone, Debug)]
pub struct Column {
    /// When, in the bar.
    pub at: Time,
    /// Ink to the left of its centre: heads, grace notes, words.
    pub left: f64,
    /// Ink to the right of its centre.
    pub right: f64,
}

/// A measured bar.
#[derive(Clone, Debug)]
pub struct SpacedBar {
    /// Upper voice, then lower.
    pub voices: [VoiceShape; 2],
    /// Its columns by time; at least one.
    pub columns: Vec<Column>,
    /// The room after each column.
    pub gaps: Vec<Gap>,
    /// Room before the first column's centre, for what a bar begins with.
    pub lead: f64,
    /// What is printed before its first note.
    pub opening: BarOpening,
    /// Width of its closing barline.
    pub closing: f64,
    /// How it is printed.
    pub shown: Shown,
    /// Whether a line may begin with it.
    pub line_break: LineBreak,
    /// Its first note is tied from the bar before.
    pub tied_in: bool,
    /// Room at the end of a line for a time signature that warns of its own.
    pub warning: f64,
}

/// Whether a line may begin with a bar.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LineBreak {
    /// Where it suits.
    #[default]
    Free,
    /// The text says it is a good place, or the music does: a section letter, a repeat that ends.
    Good,
    /// The text asks for it.
    Asked,
    /// A sign that stands for several bars goes on.
    Never,
}

/// What a bar begins with.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BarOpening {
    /// It shows its time signature.
    pub time: bool,
    /// It begins a repeat.
    pub repeat: bool,
    /// The bar before ends a repeat: both share its thick line.
    pub joined: bool,
}

impl SpacedBar {
    /// Width at which every gap has its ideal.
    pub fn ideal(&self) -> f64 {
        self.width(1.0, false)
    }

    /// Makes room for the final barline where the bar is the block's last and ends plainly.
    pub fn close_block(&mut self, engraver: &Engraver<'_>) {
        let d = engraver.fonts.music.defaults();
        if self.closing <= d.thin_barline_thickness {
            self.closing += d.thin_thick_barline_separation + d.thick_barline_thickness;
        }
    }

    /// Width with every gap scaled by `factor` but never under its least.
    pub fn width(&self, factor: f64, tight: bool) -> f64 {
        self.lead + self.closing + self.gaps.iter().map(|g| g.width(factor, tight)).sum::<f64>()
    }
}

/// Measures one bar.
pub fn measure(
    engraver: &Engraver<'_>,
    block: &Block,
    bar: &Bar,
    opening: BarOpening,
    shown: Shown,
) -> SpacedBar {
    let mut upper = shape_voice(engraver, block, bar, &bar.upper, &bar.lower, Stems::Up);
    let mut lower = shape_voice(engraver, block, bar, &bar.lower, &bar.upper, Stems::Down);
    make_room(engraver, &mut upper, &mut lower);
    let voices = [upper, lower];

    let times = column_times(bar, &voices);
    let mut columns: Vec<Column> =
        times.iter().map(|at| Column { at: *at, left: 0.0, right: 0.0 }).collect();
    for voice in &voices {
        widen_for_ink(engraver, voice, &mut columns);
    }
    let sign = SignBar { engraver, bar, opening, shown };
    match shown {
        Shown::Notes => {}
        Shown::Again(_) => return sign.repeat(voices),
        Shown::Rest { .. } => return sign.rest(voices),
    }
    let rods = rows::rods(engraver, block, bar, &columns, &voices);
    for rod in &rods {
        if rod.from == 0
            && let Some(first) = columns.first_mut()
        {
            first.left = first.left.max(rod.left_of_from);
        }
    }
    let mut gaps = gaps::gaps(engraver, bar, &voices, &columns);
    for rod in &rods {
        rows::widen(&mut gaps, rod);
    }
    gaps.iter_mut().for_each(|gap| gap.ink = gap.min);
    gaps::even_out(bar, &columns, &voices, &mut gaps);
    pauses::make_room(bar, &columns, &mut gaps);
    let lead = opening_width(engraver, &bar.meter, opening)
        + engraver.style.after_barline.max(columns.first().map_or(0.0, |c| c.left) + 0.6);
    let closing = closing_width(engraver, bar.closing);
    SpacedBar {
        voices,
        columns,
        gaps,
        lead,
        opening,
        closing,
        shown,
        line_break: LineBreak::Free,
        tied_in: false,
        warning: 0.0,
    }
}

/// Room for the sign of a repeated bar, on each side of its middle.
const REPEAT_SIGN_ROOM: f64 = 4.0;
/// Room for one bar of a sign that stands for several, on each side of its middle.
const SEVERAL_ROOM: f64 = 2.6;
/// The least and the ideal width of a rest of several bars.
const REST_WIDTH: (f64, f64) = (7.0, 11.0);

/// A bar that is printed as a sign: it needs the sign's room and no more.
struct SignBar<'a> {
    engraver: &'a Engraver<'a>,
    bar: &'a Bar,
    opening: BarOpening,
    shown: Shown,
}

impl SignBar<'_> {
    fn repeat(&self, voices: [VoiceShape; 2]) -> SpacedBar {
        let room = match self.shown {
            Shown::Again(Again { bars: 1, .. }) => REPEAT_SIGN_ROOM,
            _ => SEVERAL_ROOM,
        };
        self.measured(voices, room, Gap { ideal: room, min: room, ink: room })
    }

    /// All the width of a rest of several bars lies in the first of them.
    fn rest(&self, voices: [VoiceShape; 2]) -> SpacedBar {
        let (least, ideal) = REST_WIDTH;
        let gap = match self.shown.goes_on() {
            true => Gap { ideal: 0.0, min: 0.0, ink: 0.0 },
            false => Gap { ideal, min: least, ink: least },
        };
        self.measured(voices, 0.0, gap)
    }

    fn measured(&self, voices: [VoiceShape; 2], before: f64, gap: Gap) -> SpacedBar {
        let columns = vec![Column { at: Time::ZERO, left: 0.0, right: 0.0 }];
        let lead = opening_width(self.engraver, &self.bar.meter, self.opening) + before;
        let closing = match self.shown.has_barline() {
            true => closing_width(self.engraver, self.bar.closing),
            false => 0.0,
        };
        SpacedBar {
            voices,
            columns,
            gaps: vec![gap],
            lead,
            opening: self.opening,
            closing,
            shown: self.shown,
            line_break: LineBreak::Free,
            tied_in: false,
            warning: 0.0,
        }
    }
}

fn shape_voice(
    engraver: &Engraver<'_>,
    block: &Block,
    bar: &Bar,
    voice: &Voice,
    other: &Voice,
    stems: Stems,
) -> VoiceShape {
    let rhythm = match (stems, voice.hits.is_empty()) {
        (Stems::Down, true) => WrittenRhythm::default(),
        _ => rhythm::write(bar, voice, other, stems == Stems::Down),
    };
    let spans = rhythm::beam_spans(bar, &rhythm.tuplets);
    let beams = beaming::beams(&rhythm.events, &spans);
    let chords = rhythm
        .events
        .iter()
        .map(|event| match event.kind {
            EventKind::Chord { hit, continued, .. } => voice
                .hits
                .get(hit)
                .map(|hit| chord::shape(engraver, block, hit, event.value, stems, continued)),
            EventKind::Rest | EventKind::BarRest => None,
        })
        .collect();
    VoiceShape { rhythm, chords, beams, stems }
}

/// Steps at which heads of two voices do not touch.
const HEAD_ROOM: i32 = 2;
/// Steps at which the brackets of two ghosts do not touch.
const GHOST_ROOM: i32 = 4;

/// Where both voices have heads a step apart or crossing at one moment, the lower voice stands to
/// the right (Gould, *Behind Bars*, "Double-stemmed writing", from memory).
fn make_room(engraver: &Engraver<'_>, upper: &mut VoiceShape, lower: &mut VoiceShape) {
    let thickness = engraver.fonts.music.defaults().stem_thickness;
    for (event, shape) in upper.rhythm.events.iter().zip(&upper.chords) {
        let Some(shape) = shape else { continue };
        let other = lower.rhythm.events.iter().position(|e| e.at == event.at);
        let Some(other) = other.and_then(|i| lower.chords.get_mut(i)).and_then(Option::as_mut)
        else {
            continue;
        };
        let apart = shape.lowest() - other.highest();
        let has_ghost = |shape: &ChordShape| shape.heads.iter().any(|head| head.ghost);
        let ghosts = has_ghost(shape) || has_ghost(other);
        let same_heads = apart == 0
            && !ghosts
            && shape.heads.first().map(|h| h.glyph) == other.heads.last().map(|h| h.glyph);
        let both = has_ghost(shape) && has_ghost(other);
        let room = if both { GHOST_ROOM } else { HEAD_ROOM };
        if apart < room && !same_heads {
            let apart = if ghosts { 0.1 } else { -thickness };
            other.shift(shape.right + other.left.max(0.0) + apart);
        }
        if shape.grace > 0 && other.grace > 0 {
            // The lower voice's grace notes stand before the upper's.
            let taken = shape.left + grace::width(engraver, shape);
            other.grace_room = (taken - other.left).max(0.0);
        }
    }
}

fn column_times(bar: &Bar, voices: &[VoiceShape; 2]) -> Vec<Time> {
    let mut times: Vec<Time> = voices
        .iter()
        .flat_map(|voice| voice.rhythm.events.iter())
        .filter(|event| event.kind != EventKind::BarRest)
        .map(|event| event.at)
        .collect();
    times.extend(rows::times(bar));
    if times.is_empty() {
        times.push(Time::ZERO);
    }
    times.sort_unstable();
    times.dedup();
    times
}

fn widen_for_ink(engraver: &Engraver<'_>, voice: &VoiceShape, columns: &mut [Column]) {
    let music = &engraver.fonts.music;
    for (index, event) in voice.rhythm.events.iter().enumerate() {
        let Some(column) = columns.iter_mut().find(|c| c.at == event.at) else { continue };
        match voice.chords.get(index).and_then(Option::as_ref) {
            Some(shape) => {
                let grace = grace::width(engraver, shape);
                column.left = column.left.max(shape.left + grace);
                let flag = match voice.is_beamed(index) {
                    false => flag_glyph(shape.value, shape.stems)
                        .map_or(0.0, |flag| shape.stem_x + music.bounds(flag).x1),
                    true => 0.0,
                };
                let stroke = note::stroke_glyph(shape)
                    .map_or(0.0, |glyph| music.bounds(glyph).width() / 2.0);
                column.left = column.left.max(stroke - shape.stem_x);
                column.right = column.right.max(shape.right).max(flag);
                column.right = column.right.max(shape.stem_x + stroke);
            }
            None if event.kind == EventKind::Rest => {
                let bounds = music.bounds(rest_glyph(event.value));
                let dot = if event.value.dots > 0 { 0.8 } else { 0.0 };
                column.left = column.left.max(bounds.width() / 2.0);
                column.right = column.right.max(bounds.width() / 2.0 + dot);
            }
            None => {}
        }
    }
}

impl VoiceShape {
    /// Whether grace notes stand before what is struck at a moment.
    pub fn has_grace(&self, at: Time) -> bool {
        let index = self.rhythm.events.iter().position(|event| event.at == at);
        let chord = index.and_then(|index| self.chords.get(index)).and_then(Option::as_ref);
        chord.is_some_and(|chord| chord.grace > 0)
    }

    /// Whether an event's chord hangs on a beam.
    pub fn is_beamed(&self, event: usize) -> bool {
        self.beams.iter().any(|beam| beam.chords.contains(&event))
    }
}

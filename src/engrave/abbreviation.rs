//! Bars for which one sign stands: bars played again, and rests of several bars (Gould, *Behind
//! Bars*, "Repeat signs" and "Multi-bar rests", from memory).

use super::canvas::Canvas;
use super::engraver::Engraver;
use super::system::{PlacedBar, staff_edges};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::Glyph;
use crate::score::settings::{Rests, Staff};
use crate::score::{Again, Bar, Block, Closing};
use kurbo::BezPath;

/// How a bar is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// Its notes.
    Notes,
    /// As one of the bars of a repeat sign.
    Again(Again),
    /// As one of the bars of a rest.
    Rest {
        /// How many bars rest, at least 2.
        bars: usize,
        /// Which of them this is, from 0. The first has the sign and all its width.
        part: usize,
    },
}

impl Shown {
    /// A sign began in a bar before, so that no line may begin here.
    pub fn goes_on(self) -> bool {
        match self {
            Self::Notes => false,
            Self::Again(again) => again.part > 0,
            Self::Rest { part, .. } => part > 0,
        }
    }

    /// A barline is drawn where it ends.
    pub fn has_barline(self) -> bool {
        match self {
            Self::Rest { bars, part } => part + 1 == bars,
            _ => true,
        }
    }
}

/// How each bar of a block is printed.
pub fn shown(block: &Block) -> Vec<Shown> {
    let mut shown = Vec::with_capacity(block.bars.len());
    while let Some(bar) = block.bars.get(shown.len()) {
        let rest = resting(block, shown.len());
        if rest > 1 {
            shown.extend((0..rest).map(|part| Shown::Rest { bars: rest, part }));
        } else {
            shown.push(bar.again.filter(|_| rest == 0).map_or(Shown::Notes, Shown::Again));
        }
    }
    shown
}

/// How many bars rest together from one on. What is played again there begins anew.
fn resting(block: &Block, from: usize) -> usize {
    if block.settings.rests == Rests::Full {
        return 0;
    }
    let Some((first, later)) = block.bars.get(from..).and_then(<[Bar]>::split_first) else {
        return 0;
    };
    if !rests(first) {
        return 0;
    }
    let mut count = 1;
    let mut before = first;
    for bar in later {
        let joins = before.closing == Closing::Single
            && rests(bar)
            && !bar.repeat_start
            && bar.marks.is_empty()
            && bar.meter == first.meter;
        if !joins {
            break;
        }
        count += 1;
        before = bar;
    }
    count
}

/// Nothing sounds in a bar, and nothing is said under it.
fn rests(bar: &Bar) -> bool {
    bar.upper.hits.is_empty()
        && bar.lower.hits.is_empty()
        && bar.length == bar.meter.length()
        && bar.counts.is_empty()
        && bar.sticking.is_empty()
        && bar.pedalling.is_empty()
        && bar.words.is_empty()
        && bar.dynamics.is_empty()
}

/// Half the height of the strokes that end the bar of a rest.
const END_HALF: f64 = 1.0;
/// From the barlines to the ends of the bar of a rest.
const END_ROOM: f64 = 1.2;
/// Size of the number over a repeat sign against the figures of a time signature.
const REPEAT_NUMBER: f64 = 0.62;
/// From the staff to a number over it.
const NUMBER_LIFT: f64 = 0.5;

/// Draws the sign that stands for a bar of a line, where one begins or has its middle there.
pub fn draw(canvas: &mut Canvas<'_>, engraver: &Engraver<'_>, bar: &PlacedBar<'_>, staff: Staff) {
    let top = staff_edges(staff).0;
    match bar.measured.shown {
        Shown::Notes => {}
        Shown::Again(Again { bars: 1, .. }) => {
            repeat(canvas, engraver, Glyph::REPEAT_1_BAR, bar.middle());
        }
        Shown::Again(Again { bars, part }) => {
            if part + 1 == bars / 2 {
                let x = bar.right - bar.measured.closing / 2.0;
                let glyph = if bars == 2 { Glyph::REPEAT_2_BARS } else { Glyph::REPEAT_4_BARS };
                repeat(canvas, engraver, glyph, x);
                let size = REPEAT_NUMBER;
                number(canvas, engraver, (bars.into(), Kind::BarRepeat), (x, top), size);
            }
        }
        Shown::Rest { bars, part: 0 } => {
            rest(canvas, engraver, bar);
            let bars = u32::try_from(bars).unwrap_or(u32::MAX);
            number(canvas, engraver, (bars, Kind::Rest), (bar.middle(), top), 1.0);
        }
        Shown::Rest { .. } => {}
    }
}

fn repeat(canvas: &mut Canvas<'_>, engraver: &Engraver<'_>, glyph: Glyph, x: f64) {
    let bounds = engraver.fonts.music.bounds(glyph);
    let origin = x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push(engraver.glyph(Kind::BarRepeat, glyph, origin, 0.0));
}

/// A thick bar on the middle line with a stroke at each end.
fn rest(canvas: &mut Canvas<'_>, engraver: &Engraver<'_>, bar: &PlacedBar<'_>) {
    let defaults = engraver.fonts.music.defaults();
    let half = defaults.h_bar_thickness / 2.0;
    let stroke = defaults.thin_barline_thickness;
    let left = bar.left + bar.opening + END_ROOM;
    let right = bar.right - bar.measured.closing - END_ROOM;
    // One outline, clockwise from the upper left corner.
    let corners = [
        (left, -END_HALF),
        (left + stroke, -END_HALF),
        (left + stroke, -half),
        (right - stroke, -half),
        (right - stroke, -END_HALF),
        (right, -END_HALF),
        (right, END_HALF),
        (right - stroke, END_HALF),
        (right - stroke, half),
        (left + stroke, half),
        (left + stroke, END_HALF),
        (left, END_HALF),
    ];
    let mut path = BezPath::new();
    path.move_to(corners[0]);
    corners[1..].iter().for_each(|corner| path.line_to(*corner));
    path.close_path();
    canvas.push(Mark::new(Kind::Rest, Shape::Path(path)));
}

/// A number centred over the staff.
fn number(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    (number, kind): (u32, Kind),
    (x, staff_top): (f64, f64),
    size: f64,
) {
    let music = &engraver.fonts.music;
    let text = number.to_string();
    let digits: Vec<Glyph> =
        text.chars().filter_map(|c| c.to_digit(10)).map(Glyph::time_digit).collect();
    let width: f64 = digits.iter().map(|glyph| music.advance(*glyph) * size).sum();
    let mut left = x - width / 2.0;
    let lowest = digits.iter().map(|glyph| music.bounds(*glyph).y1).fold(0.0, f64::max);
    let top = canvas.skyline.top(left, left + width, staff_top);
    let y = top - NUMBER_LIFT - lowest * size;
    for glyph in digits {
        canvas.push(engraver.glyph_scaled(kind, glyph, left, y, size));
        left += music.advance(glyph) * size;
    }
}

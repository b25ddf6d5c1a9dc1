//! The notation key: each instrument and each sign on a note of its own, with its name under it. All
//! notes stand at one distance, so that the entries of all lines form columns.

use super::abbreviation::Shown;
use super::context::Context;
use super::gaps::Gap;
use super::lines::Line;
use super::measured;
use super::measured::{Measured, Opening};
use super::system;
use super::system::System;
use crate::drawing::{Kind, Node};
use crate::font::{FaceStyle, GlyphRun};
use crate::score::kit::{InstrumentId, Kit};
use crate::score::legend::{Entry, Legend, Sign};
use crate::score::meter::{MeterKind, MeterSign};
use crate::score::settings::{BlockSettings, Staff};
use crate::score::{Accent, BlockWord, Touch};
use crate::score::{Bar, Block, Closing, Hit, Sticking, Strike, Voice};
use crate::score::{Meter, Time};
use crate::source::Span;
use std::sync::Arc;

/// The least distance of two notes.
const PITCH: f64 = 5.0;
/// The distance of notes that fills the width is no greater than this.
const WIDEST: f64 = 15.0;
/// From the clef to the ink of the first note.
const AFTER_CLEF: f64 = 0.8;
/// Between the names of neighbours.
const NAME_GAP: f64 = 1.2;
/// A name of several words wider than this may be set on several lines.
const NAME_WIDTH: f64 = 8.0;
/// Distance of a name's baselines, as a multiple of its size.
const LEADING: f64 = 1.15;

/// A line of the key and the names on it.
#[derive(Clone, Debug)]
pub struct KeyLine {
    /// The line.
    pub system: System,
    /// The names of its entries, from left to right.
    pub names: Vec<String>,
}

/// A name in the lines it is set on, with the widest of them.
struct Name {
    lines: Vec<Arc<GlyphRun>>,
    width: f64,
}

/// Engraves a key in lines of a width given in staff spaces: the instruments, then the signs. `span`
/// is where the text asks for it.
pub fn engrave(context: &Context<'_>, legend: &Legend, span: Span, width: f64) -> Vec<KeyLine> {
    let Some(staff) = legend.staff else { return Vec::new() };
    // Without a staff all instruments look alike.
    let instruments = if staff == Staff::NoLine { &[][..] } else { &legend.instruments };
    let groups = [instruments, &legend.signs];
    let whole = groups.map(|group| block(group, legend, staff, span));
    let bars = whole.each_ref().map(|b| b.bars.first().map(|bar| measure(context, b, bar)));
    let widest = |room: f64| {
        let names = groups.iter().flat_map(|group| group.iter());
        names.map(|e| name(context, &e.name, room).width + NAME_GAP).fold(PITCH, f64::max)
    };
    let gaps = bars.iter().flatten().flat_map(|bar| &bar.gaps);
    let least = gaps.map(|gap| gap.min).fold(widest(NAME_WIDTH), f64::max);
    // Any entry may come to stand first on its line.
    let left = bars.iter().flatten().flat_map(|bar| &bar.columns).map(|column| column.left);
    let lead = context.style.after_barline.max(left.fold(0.0, f64::max) + AFTER_CLEF);
    let clef = system::line_lead(context, &whole[0], None) + lead;
    let closing = bars.iter().flatten().map(|bar| bar.closing).fold(0.0, f64::max);
    // The first note stands half a pitch from the margin, or after the clef.
    let pitch_of =
        |notes: f64| ((width - closing) / notes).min((width - closing - clef) / (notes - 0.5));
    let all = groups.iter().map(|group| group.len()).max().unwrap_or(0).max(1);
    let most = (1..=all).rev().find(|notes| pitch_of(*notes as f64) >= least).unwrap_or(1);
    let longest = groups.iter().filter_map(|g| balanced(g.len(), most).first().copied()).max();
    let pitch = pitch_of(longest.unwrap_or(1) as f64).clamp(least, least.max(WIDEST));
    let first = clef.max(pitch / 2.0);
    let names = groups.map(|group| {
        let set = |entry: &Entry| name(context, &entry.name, pitch - NAME_GAP);
        group.iter().map(set).collect::<Vec<_>>()
    });
    let mut lines = Vec::new();
    for (group, names) in groups.iter().zip(&names) {
        let mut from = 0;
        for size in balanced(group.len(), most) {
            let entries = group.get(from..from + size).unwrap_or(&[]);
            let names = names.get(from..from + size).unwrap_or(&[]);
            let block = block(entries, legend, staff, span);
            lines.extend(line(context, &block, entries, names, (first, pitch), width));
            from += size;
        }
    }
    lines
}

/// Sizes of as few lines as hold so many entries, the longer ones first.
fn balanced(entries: usize, most: usize) -> Vec<usize> {
    let lines = entries.div_ceil(most.max(1));
    (0..lines).map(|line| entries / lines + usize::from(line < entries % lines)).collect()
}

fn measure(context: &Context<'_>, block: &Block, bar: &Bar) -> Measured {
    measured::measure(context, block, bar, Opening::default(), Shown::Notes)
}

fn line(
    context: &Context<'_>,
    block: &Block,
    entries: &[Entry],
    names: &[Name],
    (first, pitch): (f64, f64),
    width: f64,
) -> Option<KeyLine> {
    let mut bar = measure(context, block, block.bars.first()?);
    let last = bar.gaps.len().saturating_sub(1);
    for (index, gap) in bar.gaps.iter_mut().enumerate() {
        let room = if index == last { pitch / 2.0 } else { pitch };
        *gap = Gap { ideal: room, min: room, ink: room };
    }
    bar.lead = first - system::line_lead(context, block, None);
    let natural = first + pitch * (entries.len() as f64 - 0.5) + bar.closing;
    let set = Line {
        from: 0,
        to: 1,
        stretch: 1.0,
        tight: false,
        warning: 0.0,
        scale: (width / natural).min(1.0),
    };
    let mut system = system::draw(context, block, &set, &[bar]);
    let points = context.style.words_pt;
    let size = context.pt(points);
    let ascent = context.fonts.text.cap_height(FaceStyle::Italic) * size;
    let top =
        system.ink.y1.max(system::staff_edges(block.settings.staff).1 + context.style.row_gap);
    for (index, name) in names.iter().enumerate() {
        let x = first + pitch * index as f64;
        for (nth, run) in name.lines.iter().enumerate() {
            let y = top + context.style.between_rows + ascent + size * LEADING * nth as f64;
            let left = x - run.width * size / 2.0;
            let mark = context.text(Kind::Words, run.clone(), left, y, points);
            system.ink = system.ink.union(context.bounds(&mark.shape));
            system.nodes.push(Node::Mark(mark));
        }
    }
    let names = entries.iter().map(|entry| entry.name.clone()).collect();
    Some(KeyLine { system, names })
}

/// Breaks a name between its words, so that no line is wider than its room or the longest word.
fn name(context: &Context<'_>, text: &str, room: f64) -> Name {
    let points = context.style.words_pt;
    let shape = |words: &str| context.words(words, FaceStyle::Italic, points);
    let longest = text.split_whitespace().map(|word| shape(word).1).fold(room, f64::max);
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (longer.filter(|longer| shape(longer).1 <= longest), lines.last_mut()) {
            (Some(longer), Some(line)) => *line = longer,
            _ => lines.push(word.to_owned()),
        }
    }
    let shaped: Vec<_> = lines.iter().map(|line| shape(line)).collect();
    let width = shaped.iter().map(|(_, width)| *width).fold(0.0, f64::max);
    Name { lines: shaped.into_iter().map(|(run, _)| run).collect(), width }
}

/// The entries as quarters of one bar.
fn block(entries: &[Entry], legend: &Legend, staff: Staff, span: Span) -> Block {
    let quarter = Time::new(1, 4);
    let count = entries.len() as u32;
    let meter = Arc::new(Meter {
        upper: vec![count],
        lower: 4,
        kind: MeterKind::Simple,
        sign: MeterSign::Numbers,
    });
    let mut bar = Bar {
        length: meter.length(),
        meter,
        offset: Time::ZERO,
        upper: Voice::default(),
        lower: Voice::default(),
        counts: Vec::new(),
        sticking: Vec::new(),
        pedalling: Vec::new(),
        words: Vec::new(),
        dynamics: Vec::new(),
        marks: Vec::new(),
        repeat_start: false,
        closing: Closing::Double,
        again: None,
        span,
    };
    for (index, entry) in entries.iter().enumerate() {
        let at = quarter * index as i64;
        bar.upper.hits.push(hit(entry, index, at, span));
        let letter = |hand| Sticking { at, hand, grace: Vec::new(), span };
        match entry.sign {
            Some(Sign::Hand(hand)) => bar.sticking.push(letter(hand)),
            Some(Sign::Foot(hand)) => bar.pedalling.push(letter(hand)),
            _ => {}
        }
    }
    Block {
        word: BlockWord::Exercise,
        name: None,
        title: None,
        number: None,
        chapter: None,
        settings: BlockSettings {
            staff,
            grace_slurs: legend.grace_slurs,
            ..BlockSettings::default()
        },
        kit: Arc::new(Kit { instruments: entries.iter().map(|e| e.instrument.clone()).collect() }),
        bars: if entries.is_empty() { Vec::new() } else { vec![bar] },
        span,
    }
}

fn hit(entry: &Entry, index: usize, at: Time, span: Span) -> Hit {
    let sign = entry.sign;
    let strike = Strike {
        span: Span::default(),
        instrument: InstrumentId(index),
        accent: match sign {
            Some(Sign::Accent) => Accent::Accent,
            Some(Sign::Marcato) => Accent::Marcato,
            _ => Accent::None,
        },
        ghost: sign == Some(Sign::Ghost),
        choked: sign == Some(Sign::Choke),
    };
    Hit {
        at,
        until: None,
        strikes: vec![strike],
        grace: if let Some(Sign::Grace(count)) = sign { count } else { 0 },
        strokes: if let Some(Sign::Strokes(count)) = sign { count } else { 0 },
        buzz: sign == Some(Sign::Buzz),
        touch: Touch {
            staccato: sign == Some(Sign::Short),
            tenuto: sign == Some(Sign::Held),
            roll: None,
        },
        tied: false,
        continued: false,
        span,
    }
}

#[cfg(test)]
mod tests {
    use super::balanced;

    #[test]
    fn lines_are_evenly_long() {
        assert_eq!(balanced(0, 8), Vec::<usize>::new());
        assert_eq!(balanced(8, 8), [8]);
        assert_eq!(balanced(9, 8), [5, 4]);
        assert_eq!(balanced(17, 8), [6, 6, 5]);
    }
}

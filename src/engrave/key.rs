//! The notation key: each instrument and each sign on a note of its own, with its name under it.
//! All notes stand at one distance, so that the entries of all lines form columns.

use super::draw::system;
use super::draw::system::System;
use super::engraver::Engraver;
use super::key_block::block;
use super::measure::opening::{BarOpening, line_lead};
use super::notate::shown::Shown;
use super::place::{BlockPlace, Edges, FinalBarline};
use super::space::bar::SpacedBar;
use super::space::gaps::Gap;
use super::space::lines::SetLine;
use super::space::spacing::space;
use super::staff::staff_edges;
use crate::drawing::{Kind, Node};
use crate::font::{FaceStyle, GlyphRun};
use crate::score::legend::{Legend, LegendEntry};
use crate::score::settings::Staff;
use crate::score::{Bar, Block};
use crate::source::Span;
use std::sync::Arc;

/// A line begins with a clef and no time signature.
const EDGES: Edges = Edges { clef: true, time: false, heading: false, end: FinalBarline::Full };
/// The least distance of two notes (no source).
const PITCH: f64 = 5.0;
/// The distance of notes that fills the width is no greater than this (no source).
const WIDEST: f64 = 15.0;
/// From the clef to the ink of the first note (no source).
const AFTER_CLEF: f64 = 0.8;
/// Between the names of neighbours (no source).
const NAME_GAP: f64 = 1.2;
/// A name of several words wider than this may be set on several lines (no source).
const NAME_WIDTH: f64 = 8.0;
/// Distance of a name's baselines, as a multiple of its size (no source).
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
struct EntryName {
    lines: Vec<Arc<GlyphRun>>,
    width: f64,
}

/// Where the notes of all lines stand.
struct Layout {
    /// The most entries a line holds.
    most: usize,
    /// x of the first note of a line.
    first: f64,
    /// The distance of notes.
    pitch: f64,
}

/// Engraves a key in lines of a width given in staff spaces: the instruments, then the signs.
/// `span` is where the text asks for it.
pub fn engrave(engraver: &Engraver<'_>, legend: &Legend, span: Span, width: f64) -> Vec<KeyLine> {
    let Some(staff) = legend.staff else { return Vec::new() };
    // Without a staff all instruments look alike.
    let instruments = if staff == Staff::NoLine { &[][..] } else { &legend.instruments };
    let groups = [instruments, &legend.signs];
    let whole = groups.map(|group| block(group, legend, staff, span));
    let layout = layout(engraver, groups, &whole, width);
    let mut lines = Vec::new();
    for group in groups {
        let mut from = 0;
        for size in balanced(group.len(), layout.most) {
            let entries = group.get(from..from + size).unwrap_or(&[]);
            let block = block(entries, legend, staff, span);
            lines.extend(line(engraver, &block, entries, &layout, width));
            from += size;
        }
    }
    lines
}

/// Finds the distance of notes that suits all entries and fills the width. `whole` holds the
/// entries of each group on a line that is never drawn.
fn layout(
    engraver: &Engraver<'_>,
    groups: [&[LegendEntry]; 2],
    whole: &[Block; 2],
    width: f64,
) -> Layout {
    let bars: Vec<SpacedBar> = whole
        .iter()
        .filter_map(|block| Some(measure(engraver, block, block.part.bars.first()?)))
        .collect();
    let names = groups.iter().flat_map(|group| group.iter());
    let names = names.map(|e| name(engraver, &e.name, NAME_WIDTH).width + NAME_GAP);
    let gaps = bars.iter().flat_map(|bar| &bar.gaps).map(|gap| gap.min);
    let least = gaps.fold(names.fold(PITCH, f64::max), f64::max);
    // Any entry may come to stand first on its line.
    let left = bars.iter().flat_map(|bar| &bar.columns).map(|column| column.left);
    let lead = engraver.style.after_barline.max(left.fold(0.0, f64::max) + AFTER_CLEF);
    let clef = line_lead(engraver, EDGES.clef_of(whole[0].part.settings.staff), false) + lead;
    let closing = bars.iter().map(|bar| bar.closing).fold(0.0, f64::max);
    // The first note stands half a pitch from the margin, or after the clef.
    let pitch_of =
        |notes: f64| ((width - closing) / notes).min((width - closing - clef) / (notes - 0.5));
    let all = groups.iter().map(|group| group.len()).max().unwrap_or(0).max(1);
    let most = (1..=all).rev().find(|notes| pitch_of(*notes as f64) >= least).unwrap_or(1);
    let longest = groups.iter().filter_map(|g| balanced(g.len(), most).first().copied()).max();
    let pitch = pitch_of(longest.unwrap_or(1) as f64).clamp(least, least.max(WIDEST));
    Layout { most, first: clef.max(pitch / 2.0), pitch }
}

/// Sizes of as few lines as hold so many entries, the longer ones first.
fn balanced(entries: usize, most: usize) -> Vec<usize> {
    let lines = entries.div_ceil(most.max(1));
    (0..lines).map(|line| entries / lines + usize::from(line < entries % lines)).collect()
}

fn measure(engraver: &Engraver<'_>, block: &Block, bar: &Bar) -> SpacedBar {
    space(engraver, &block.part, bar, BarOpening::default(), Shown::Notes)
}

fn line(
    engraver: &Engraver<'_>,
    block: &Block,
    entries: &[LegendEntry],
    layout: &Layout,
    width: f64,
) -> Option<KeyLine> {
    let &Layout { first, pitch, .. } = layout;
    let mut bar = measure(engraver, block, block.part.bars.first()?);
    let last = bar.gaps.len().saturating_sub(1);
    for (index, gap) in bar.gaps.iter_mut().enumerate() {
        *gap = Gap::fixed(if index == last { pitch / 2.0 } else { pitch });
    }
    bar.lead = first - line_lead(engraver, EDGES.clef_of(block.part.settings.staff), false);
    let natural = first + pitch * (entries.len() as f64 - 0.5) + bar.closing;
    let set = SetLine {
        from: 0,
        to: 1,
        stretch: 1.0,
        tight: false,
        warning: 0.0,
        scale: (width / natural).min(1.0),
        cut: false,
    };
    let place = BlockPlace { width, headed: 0.0, column: false, edges: EDGES };
    let mut system = system::draw(engraver, block, place, (&set, &[]), vec![bar]);
    set_names(engraver, &mut system, entries, layout, block.part.settings.staff);
    let names = entries.iter().map(|entry| entry.name.clone()).collect();
    Some(KeyLine { system, names })
}

/// Sets the names of a line's entries under its notes, all on one baseline. They stand beside the
/// group of the line, since a name in several lines is read before the next.
fn set_names(
    engraver: &Engraver<'_>,
    system: &mut System,
    entries: &[LegendEntry],
    layout: &Layout,
    staff: Staff,
) {
    let points = engraver.points(engraver.style.words);
    let size = engraver.pt(points);
    let ascent = engraver.fonts.text.cap_height(FaceStyle::Italic) * size;
    let mut nodes = system.marks.nodes().to_vec();
    let top = system.ink.y1.max(staff_edges(staff).1 + engraver.style.row_gap);
    for (index, entry) in entries.iter().enumerate() {
        let x = layout.first + layout.pitch * index as f64;
        let name = name(engraver, &entry.name, layout.pitch - NAME_GAP);
        for (nth, run) in name.lines.into_iter().enumerate() {
            let y = top + engraver.style.between_rows + ascent + size * LEADING * nth as f64;
            let left = x - run.width * size / 2.0;
            let mark = engraver.text(Kind::Words, run, left, y, points);
            system.ink = system.ink.union(engraver.bounds(&mark.shape));
            nodes.push(Node::Mark(mark));
        }
    }
    system.marks = nodes.into();
}

/// Breaks a name between its words, so that no line is wider than its room or the longest word.
fn name(engraver: &Engraver<'_>, text: &str, room: f64) -> EntryName {
    let points = engraver.points(engraver.style.words);
    let shape = |words: &str| engraver.words(words, FaceStyle::Italic, points);
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
    EntryName { lines: shaped.into_iter().map(|(run, _)| run).collect(), width }
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

//! Small notes over the staff: what the band plays, and cues with the names of their players (Gould, *Behind
//! Bars*, "Cues", from memory). They are drawn as full notes are, in a space that is smaller.

use super::canvas::Canvas;
use super::placed_bar::PlacedBar;
use super::{notes, ties, tuplets};
use crate::drawing::{GroupKind, Kind, Node};
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::small_notes::{SMALL, part};
use crate::engrave::notate::shown::Shown;
use crate::engrave::space::bar::SpacedBar;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::{Bar, PlayerPart, SmallNotes};

/// From the ink under small notes to theirs, and from the staff to them at least (no source).
const OVER_INK: f64 = 0.7;
/// From small notes to the name over them (no source).
const UNDER_NAME: f64 = 0.4;
/// How far a name reaches to the left of the middle of its first note (no source).
const NAME_LEAN: f64 = 0.6;

/// Draws the small notes over a line, all at one height.
pub fn draw(canvas: &mut Canvas<'_>, host: &PlayerPart, bars: &[PlacedBar<'_>]) {
    let engraver = canvas.engraver;
    let over = |bar: &PlacedBar<'_>| {
        bar.bar.small.is_some()
            && bar.spaced.small.is_some()
            && bar.spaced.shown == Shown::Notes
            && !host.settings.blank.hides_notes_of(bar.index)
    };
    let mut small = Canvas::new(engraver);
    let mut nodes: Vec<Node> = Vec::new();
    for run in bars.chunk_by(|a, b| over(a) && over(b)) {
        if run.first().is_some_and(over) {
            nodes.extend(drawn(engraver, host, run));
        }
    }
    if nodes.is_empty() {
        return;
    }
    nodes.iter().cloned().for_each(|node| small.push_drawn(node));
    let top = staff_edges(host.settings.staff).0;
    let clear = small.skyline.distance_to(&canvas.skyline).unwrap_or(0.0);
    let up = (clear + OVER_INK).max(small.skyline.whole().y1 - top + OVER_INK);
    nodes.into_iter().for_each(|node| canvas.push_drawn(node.moved(0.0, -up)));
}

/// Small notes over bars that follow one another, at their x and about a height of zero.
fn drawn(engraver: &Engraver<'_>, host: &PlayerPart, run: &[PlacedBar<'_>]) -> Vec<Node> {
    let mut canvas = Canvas::new(engraver);
    let mut bars: Vec<PlacedBar<'_>> = Vec::with_capacity(run.len());
    let mut placed = Vec::new();
    for own in run {
        let Some((notes, mut bar)) = small_bar(own) else { continue };
        canvas.open(GroupKind::SmallNotes, Some(notes.bar.span));
        notes::draw(&mut canvas, &part(notes), &mut bar, &mut placed);
        canvas.close();
        bars.push(bar);
    }
    let whole = with_bar_before(host, run, &bars);
    // The ties count bars from the one before the run.
    (1..).zip(&mut bars).for_each(|(index, bar)| bar.index = index);
    canvas.open(GroupKind::SmallNotes, None);
    ties::draw(&mut canvas, &whole, &bars);
    tuplets::draw(&mut canvas, placed, staff_edges(whole.settings.staff));
    names(&mut canvas, host, run, &bars);
    canvas.close();
    let (nodes, _) = canvas.finish();
    nodes.into_iter().map(|node| node.transform(SMALL, 0.0, 0.0)).collect()
}

/// The small notes of a bar, placed in the smaller space.
fn small_bar<'a>(own: &PlacedBar<'a>) -> Option<(&'a SmallNotes, PlacedBar<'a>)> {
    let notes = own.bar.small.as_deref()?;
    let voices = own.spaced.small.as_deref()?.clone();
    let mut spaced = SpacedBar { voices, small: None, others: Vec::new(), ..own.spaced.clone() };
    for column in &mut spaced.columns {
        (column.left, column.right) = (column.left / SMALL, column.right / SMALL);
    }
    spaced.closing /= SMALL;
    let bar = PlacedBar {
        bar: &notes.bar,
        index: own.index,
        spaced,
        left: own.left / SMALL,
        right: own.right / SMALL,
        columns: own.columns.iter().map(|x| x / SMALL).collect(),
        opening: own.opening / SMALL,
        first_of_line: own.first_of_line,
    };
    Some((notes, bar))
}

/// Who plays small notes, with the bar before some of them, out of which they may be tied.
fn with_bar_before(host: &PlayerPart, run: &[PlacedBar<'_>], bars: &[PlacedBar<'_>]) -> PlayerPart {
    let first = run.first().map_or(0, |bar| bar.index);
    let small = |bar: &Bar| bar.small.as_ref().map_or_else(|| bar.silent(), |own| own.bar.clone());
    let before = first.checked_sub(1).and_then(|index| host.bars.get(index)).map(small);
    let own = bars.iter().map(|bar| bar.bar.clone());
    let before = before.or_else(|| bars.first().map(|bar| bar.bar.silent()));
    let mut whole = run.first().and_then(|bar| bar.bar.small.as_deref()).map_or_else(
        || PlayerPart::alone(host.settings.clone(), host.kit.clone(), Vec::new()),
        part,
    );
    whole.bars = before.into_iter().chain(own).collect();
    whole
}

/// The name of a cue's player, where its notes begin.
fn names(
    canvas: &mut Canvas<'_>,
    host: &PlayerPart,
    run: &[PlacedBar<'_>],
    bars: &[PlacedBar<'_>],
) {
    let engraver = canvas.engraver;
    let name_of = |bar: &Bar| bar.small.as_ref().and_then(|small| small.player.clone());
    for (own, bar) in run.iter().zip(bars) {
        let before = own.index.checked_sub(1).and_then(|index| host.bars.get(index));
        let Some(name) = name_of(own.bar) else { continue };
        if before.and_then(name_of).as_ref() == Some(&name) {
            continue;
        }
        // Words are as large as other words over the staff.
        let points = engraver.points(engraver.style.words) / SMALL;
        let (run, width) = engraver.words(&name, FaceStyle::Italic, points);
        let first = bar.bar.upper.hits.first().map_or(bar.left, |hit| bar.x(hit.at));
        let left = first - NAME_LEAN;
        let top = canvas.skyline.top(left, left + width, 0.0);
        let ink =
            engraver.bounds(&engraver.text(Kind::CueName, run.clone(), left, 0.0, points).shape);
        let y = top - UNDER_NAME - ink.y1;
        canvas.push_at(
            engraver.text(Kind::CueName, run, left, y, points),
            own.bar.cue.as_ref().map(|cue| cue.span),
        );
    }
}

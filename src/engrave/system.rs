//! Draws one line of music: bars at their places, then what stands over and under them.

use super::abbreviation;
use super::abbreviation::Shown;
use super::beam;
use super::beam::PlacedBeam;
use super::canvas::Canvas;
use super::chord;
use super::chord::{ChordShape, Stems, outer_line};
use super::engraver::Engraver;
use super::lines::SetLine;
use super::measured::{SpacedBar, VoiceShape};
use super::note;
use super::note::RestRoom;
use super::rhythm::{EventKind, WrittenEvent};
use super::symbol::rest_glyph;
use super::tuplets;
use super::tuplets::PlacedTuplet;
use super::{barlines, opening, over, ties, under};
use crate::drawing::{GroupKind, Kind, Mark, Node, Shape};
use crate::font::Glyph;
use crate::score::Time;
use crate::score::settings::Staff;
use crate::score::{Bar, Block};
use kurbo::Rect;

/// A line of music in staff spaces: y is nought on the middle line of the staff, x at its left end.
#[derive(Clone, Debug)]
pub struct System {
    /// Its marks.
    pub nodes: Vec<Node>,
    /// The box of its ink.
    pub ink: Rect,
    /// Length of its staff.
    pub width: f64,
    /// Factor it is to be scaled by, 1 but for bars wider than the line.
    pub scale: f64,
    /// How many bars it has.
    pub bars: usize,
}

/// A bar with its place in the line.
pub struct PlacedBar<'a> {
    /// The bar.
    pub bar: &'a Bar,
    /// Its index in the block.
    pub index: usize,
    /// Its shapes.
    pub measured: SpacedBar,
    /// Left end, at the right edge of the barline before.
    pub left: f64,
    /// Right end, at the right edge of its closing barline.
    pub right: f64,
    /// Centre of each column.
    pub columns: Vec<f64>,
    /// Width of the time signature and the repeat it begins with.
    pub opening: f64,
    /// It begins a line.
    pub first_of_line: bool,
}

impl PlacedBar<'_> {
    /// The middle of what is seen between the bar's opening and its closing barline.
    pub fn middle(&self) -> f64 {
        let opened = self.left + self.opening;
        (opened + self.right - self.measured.closing) / 2.0
    }

    /// x of a moment: its column's centre, or between the columns around it.
    pub fn x(&self, at: Time) -> f64 {
        let times = &self.measured.columns;
        let after = times.partition_point(|c| c.at < at);
        let end = (self.bar.length, self.right - self.measured.closing);
        let point = |i: usize| match (times.get(i), self.columns.get(i)) {
            (Some(column), Some(x)) => (column.at, *x),
            _ => end,
        };
        let (next, next_x) = point(after);
        if next == at || after == 0 {
            return next_x;
        }
        let (before, before_x) = point(after - 1);
        let share = (at - before).as_f64() / (next - before).as_f64().max(1e-9);
        before_x + (next_x - before_x) * share
    }
}

/// Draws a line of a block. `measured` holds the line's bars.
pub fn draw(
    engraver: &Engraver<'_>,
    block: &Block,
    line: &SetLine,
    measured: &[SpacedBar],
) -> System {
    let staff = block.settings.staff;
    let bars = place_bars(engraver, block, line, measured);
    let end = bars.last().map_or(0.0, |bar| bar.right);
    let width = end + line.warning;
    let mut canvas = Canvas::new(*engraver);
    draw_staff(&mut canvas, engraver, staff, width);
    if let Some(glyph) = opening::clef(staff) {
        let bounds = engraver.fonts.music.bounds(glyph);
        let x = engraver.style.before_clef - bounds.x0;
        canvas.push(engraver.glyph(Kind::Clef, glyph, x, 0.0));
    }
    let mut bars = bars;
    let mut tuplets = Vec::new();
    for bar in &mut bars {
        canvas.open(GroupKind::Bar { number: bar.index + 1 }, engraver.place(bar.bar.span));
        barlines::opening(&mut canvas, engraver, bar, staff);
        match bar.measured.shown {
            Shown::Notes => draw_notes(&mut canvas, engraver, block, bar, &mut tuplets),
            _ => abbreviation::draw(&mut canvas, engraver, bar, staff),
        }
        if bar.measured.shown.has_barline() {
            barlines::closing(&mut canvas, engraver, block, bar);
        }
        canvas.close();
    }
    if line.warning > 0.0
        && let Some(next) = block.bars.get(line.to)
    {
        for mark in opening::time_marks(engraver, &next.meter, end + engraver.style.after_clef) {
            canvas.push(mark);
        }
    }
    ties::draw(&mut canvas, engraver, block, &bars);
    tuplets::draw(&mut canvas, engraver, tuplets, staff_edges(staff));
    over::draw(&mut canvas, engraver, block, &bars, line.from == 0);
    under::draw(&mut canvas, engraver, block, &bars);
    let (nodes, ink) = canvas.finish();
    System { nodes, ink, width, scale: line.scale, bars: bars.len() }
}

/// y of the outer lines of a staff: the upper and the lower.
pub fn staff_edges(staff: Staff) -> (f64, f64) {
    let edge = f64::from(outer_line(staff)) / 2.0;
    (-edge, edge)
}

/// Width of what a line begins with before its first bar: its clef, and some room after it where no
/// time signature follows.
pub fn line_lead(engraver: &Engraver<'_>, block: &Block, first: Option<&SpacedBar>) -> f64 {
    let clef = opening::clef_width(engraver, block.settings.staff);
    let time = first.is_some_and(|bar| bar.opening.time);
    if time || clef == 0.0 { clef } else { clef + engraver.style.after_clef * 0.8 }
}

fn place_bars<'a>(
    engraver: &Engraver<'_>,
    block: &'a Block,
    line: &SetLine,
    measured: &[SpacedBar],
) -> Vec<PlacedBar<'a>> {
    let tied = measured.first().is_some_and(|first| first.tied_in);
    let mut x = line_lead(engraver, block, measured.first()) + if tied { ties::ROOM } else { 0.0 };
    let mut placed = Vec::with_capacity(measured.len());
    let bars = block.bars.iter().enumerate().skip(line.from);
    for ((index, bar), measured) in bars.zip(measured) {
        let left = x;
        x += measured.lead;
        let mut columns = Vec::with_capacity(measured.columns.len());
        for gap in &measured.gaps {
            columns.push(x);
            x += gap.width(line.stretch, line.tight);
        }
        x += measured.closing;
        let opening = opening::opening_width(engraver, &bar.meter, measured.opening);
        let measured = measured.clone();
        let first_of_line = index == line.from;
        placed.push(PlacedBar {
            bar,
            index,
            measured,
            left,
            right: x,
            columns,
            opening,
            first_of_line,
        });
    }
    placed
}

fn draw_staff(canvas: &mut Canvas<'_>, engraver: &Engraver<'_>, staff: Staff, width: f64) {
    let thickness = engraver.fonts.music.defaults().staff_line_thickness;
    let outer = outer_line(staff);
    let lines = match staff {
        Staff::NoLine => 0,
        Staff::OneLine => 1,
        Staff::FiveLines => 5,
    };
    for line in 0..lines {
        let y = chord::y_of(outer - 2 * line);
        let rect = Rect::new(0.0, y - thickness / 2.0, width, y + thickness / 2.0);
        canvas.push(Mark::new(Kind::StaffLine, Shape::Box(rect)));
    }
}

fn draw_notes(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    bar: &mut PlacedBar<'_>,
    tuplets: &mut Vec<PlacedTuplet>,
) {
    let staff = block.settings.staff;
    let mut beams: Vec<Vec<PlacedBeam>> = Vec::new();
    let xs: [Vec<f64>; 2] = [0, 1].map(|v| {
        let events = &bar.measured.voices[v].rhythm.events;
        events.iter().map(|e| bar.x(e.at)).collect()
    });
    let rests = [0, 1].map(|v| rest_heights(engraver, bar, v, staff));
    for ((voice, xs), rests) in bar.measured.voices.iter_mut().zip(&xs).zip(&rests) {
        beams.push(place_beams(engraver, voice, xs, rests, staff));
    }
    for ((voice, xs), beams) in bar.measured.voices.iter().zip(&xs).zip(&beams) {
        for (index, event) in voice.rhythm.events.iter().enumerate() {
            let beat = (bar.bar.offset + event.at).ratio(bar.bar.meter.unit());
            let beat = Time::new(*beat.numer() + *beat.denom(), *beat.denom());
            let chord = voice.chords.get(index).and_then(Option::as_ref);
            let place = chord.and_then(|c| engraver.place(c.span));
            canvas.open(GroupKind::Note { bar: bar.index + 1, beat }, place);
            let x = xs.get(index).copied().unwrap_or(bar.left);
            match chord {
                Some(chord) => {
                    let beam = voice.beams.iter().position(|b| b.chords.contains(&index));
                    let beam = beam.and_then(|b| beams.get(b));
                    note::draw(canvas, engraver, block, chord, x, beam);
                }
                None if rest_is_shared(&bar.measured, voice, event) => {}
                None => {
                    let rest_x = if event.kind == EventKind::BarRest { bar.middle() } else { x };
                    let y = rests[usize::from(voice.stems == Stems::Down)].get(index);
                    note::draw_rest(canvas, engraver, event, rest_x, y.copied().unwrap_or(0.0));
                }
            }
            canvas.close();
        }
        draw_beams(canvas, engraver, voice, xs, beams);
    }
    for ((voice, xs), beams) in bar.measured.voices.iter().zip(&xs).zip(&beams) {
        for (index, chord) in voice.chords.iter().enumerate() {
            if let (Some(chord), Some(x)) = (chord, xs.get(index)) {
                note::draw_signs(canvas, engraver, chord, *x, staff_edges(staff));
            }
        }
        place_tuplets(engraver, bar, voice, xs, beams, tuplets);
    }
}

/// The edge of what the other voice has at a moment, which a rest of this voice meets first.
fn other_edge(
    engraver: &Engraver<'_>,
    measured: &SpacedBar,
    stems: Stems,
    at: Time,
) -> Option<f64> {
    let other = measured.voices.iter().find(|voice| voice.stems != stems)?;
    let index = other.rhythm.events.iter().position(|event| event.at == at)?;
    let event = other.rhythm.events.get(index)?;
    let Some(chord) = other.chords.get(index)?.as_ref() else {
        // Of two rests at one moment the lower voice's gives way.
        let bounds = engraver.fonts.music.bounds(rest_glyph(event.value));
        return (stems == Stems::Down).then_some(bounds.y1 - 2.0);
    };
    let ornament = chord.grace > 0 || chord.heads.iter().any(|h| h.ghost);
    let half = if ornament { 1.1 } else { 0.5 };
    Some(match stems {
        Stems::Up => chord::y_of(chord.highest()) - half,
        Stems::Down => chord::y_of(chord.lowest()) + half,
    })
}

/// Whether the other voice has the same rest at the same moment: one rest then stands for both.
fn rests_as_well(measured: &SpacedBar, voice: &VoiceShape, event: &WrittenEvent) -> bool {
    let other = measured.voices.iter().find(|other| other.stems != voice.stems);
    other.is_some_and(|other| {
        other.rhythm.events.iter().any(|e| {
            e.kind == EventKind::Rest
                && event.kind == EventKind::Rest
                && (e.at, e.value) == (event.at, event.value)
        })
    })
}

/// Whether a rest of the lower voice is shown by the upper voice's.
fn rest_is_shared(measured: &SpacedBar, voice: &VoiceShape, event: &WrittenEvent) -> bool {
    voice.stems == Stems::Down && rests_as_well(measured, voice, event)
}

/// The y of each event's rest; without meaning for chords.
fn rest_heights(
    engraver: &Engraver<'_>,
    bar: &PlacedBar<'_>,
    voice: usize,
    staff: Staff,
) -> Vec<f64> {
    let two_voices = !bar.bar.lower.hits.is_empty();
    let voice = &bar.measured.voices[voice];
    let height = |event: &WrittenEvent| {
        // Where the other voice has nothing in the rest's time, there is nothing to make way for.
        let shared = bar.measured.voices.iter().any(|other| {
            other.stems != voice.stems
                && other
                    .rhythm
                    .events
                    .iter()
                    .any(|e| e.at < event.at + event.length && e.at + e.length > event.at)
        });
        let one_rest = rests_as_well(&bar.measured, voice, event);
        let room = RestRoom {
            voice: (two_voices && shared && !one_rest).then_some(voice.stems),
            other_voice: other_edge(engraver, &bar.measured, voice.stems, event.at),
        };
        note::rest_y(engraver, event, &room, staff)
    };
    let events = voice.rhythm.events.iter();
    events.map(height).collect()
}

fn place_beams(
    engraver: &Engraver<'_>,
    voice: &mut VoiceShape,
    xs: &[f64],
    rests: &[f64],
    staff: Staff,
) -> Vec<PlacedBeam> {
    let mut placed = Vec::new();
    for beam in &voice.beams {
        let (first, last) =
            (beam.chords.first().copied().unwrap_or(0), beam.chords.last().copied().unwrap_or(0));
        let under: Vec<(f64, f64)> = (first..last)
            .filter(|index| voice.chords.get(*index).is_some_and(Option::is_none))
            .filter_map(|index| {
                let glyph = rest_glyph(voice.rhythm.events.get(index)?.value);
                let bounds = engraver.fonts.music.bounds(glyph);
                let edge = if voice.stems == Stems::Up { bounds.y0 } else { bounds.y1 };
                Some((*xs.get(index)?, rests.get(index)? + edge))
            })
            .collect();
        let mut chords: Vec<(f64, &mut ChordShape)> = voice
            .chords
            .iter_mut()
            .enumerate()
            .filter(|(index, _)| beam.chords.contains(index))
            .filter_map(|(index, chord)| Some((*xs.get(index)?, chord.as_mut()?)))
            .collect();
        placed.push(beam::place(engraver, beam, &mut chords, &under, staff));
    }
    placed
}

fn draw_beams(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    voice: &VoiceShape,
    xs: &[f64],
    beams: &[PlacedBeam],
) {
    let half = engraver.fonts.music.defaults().stem_thickness / 2.0;
    for (beam, placed) in voice.beams.iter().zip(beams) {
        let stems: Vec<f64> = beam
            .chords
            .iter()
            .filter_map(|i| Some(xs.get(*i)? + voice.chords.get(*i)?.as_ref()?.stem_x + half))
            .collect();
        for mark in beam::marks(engraver, beam, placed, &stems, voice.stems) {
            canvas.push(mark);
        }
    }
}

fn place_tuplets(
    engraver: &Engraver<'_>,
    bar: &PlacedBar<'_>,
    voice: &VoiceShape,
    xs: &[f64],
    beams: &[PlacedBeam],
    tuplets: &mut Vec<PlacedTuplet>,
) {
    let half_head = engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width() / 2.0;
    for tuplet in &voice.rhythm.tuplets {
        let inside: Vec<usize> = voice
            .rhythm
            .events
            .iter()
            .enumerate()
            .filter(|(_, e)| e.at >= tuplet.start && e.at < tuplet.end)
            .map(|(i, _)| i)
            .collect();
        let (Some(first), Some(last)) = (inside.first(), inside.last()) else { continue };
        let ends = [first, last].map(|i| xs.get(*i).copied().unwrap_or(0.0));
        let beam = voice.beams.iter().position(|beam| {
            beam.chords.first() == Some(first) && beam.chords.last() == Some(last)
        });
        let nests = voice.rhythm.tuplets.iter().any(|inner| {
            inner.level > tuplet.level && inner.start >= tuplet.start && inner.end <= tuplet.end
        });
        let beam = beam.filter(|_| !nests).and_then(|b| beams.get(b));
        let beam = beam.map(|b| (b.x + b.end) / 2.0);
        let part = (tuplet.end - tuplet.start) / i64::from(tuplet.number.max(1));
        let last_part = bar.x(tuplet.end - part);
        tuplets.push(PlacedTuplet {
            bar: bar.index,
            time: (tuplet.start, tuplet.end),
            level: tuplet.level,
            left: ends[0] - half_head,
            right: ends[1].max(last_part) + half_head,
            number: tuplet.number,
            beam,
            stems: voice.stems,
        });
    }
}

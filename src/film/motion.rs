//! What moves while a block is played once, on whatever it is drawn: which notes are lit, which syllable is said and
//! which beat it is. Films, web pages and the desk all move by it.

use super::line::Line;
use super::path::{PathPoint, path};
use crate::perform::{NoteId, StrokeKind, Timeline};
use crate::practice::{Beat, Pass, Plan, beats_of, count_in_of};
use crate::score::{Bar, Block, PlayerPart, Time};
use std::sync::Arc;

/// A note that is lit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// The second it is struck at.
    pub from: f64,
    /// The second its written value ends at, or its player strikes the next one.
    pub to: f64,
    /// Who plays it, by index.
    pub player: usize,
    /// The number of its bar, from 1.
    pub bar: usize,
    /// Its place in the bar, as drawn notes have it.
    pub beat: Time,
}

/// A syllable while it is said.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// The second it begins at.
    pub from: f64,
    /// The second at which the next one or the next beat begins.
    pub to: f64,
    /// The syllable.
    pub text: Arc<str>,
    /// Whether a note sounds there.
    pub sounds: bool,
}

/// A beat while it lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeatShown {
    /// The second it begins at.
    pub from: f64,
    /// The second it ends at.
    pub to: f64,
    /// Its number in its bar, from 1.
    pub number: u32,
    /// How many beats a full bar has.
    pub of: u32,
}

/// What moves, all in order of time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Motion {
    /// The notes that are lit.
    pub lights: Vec<Light>,
    /// The syllables.
    pub said: Vec<Said>,
    /// The beats.
    pub beats: Vec<BeatShown>,
}

/// A block that is played once, and where it is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawnMotion {
    /// What moves.
    pub motion: Motion,
    /// The way of the cursor over the lines of each drawing; a page of it is a line.
    pub ways: Vec<Vec<PathPoint>>,
}

impl Motion {
    /// That of a block from its first beat on; its seconds are those of its timelines, moved by a function.
    pub(super) fn of(
        (block, timelines): (&Block, &[Timeline]),
        moved: impl Fn(f64) -> f64,
    ) -> Self {
        let lead = timelines.first().map(|lead| (block, lead));
        Self {
            lights: lights((block, timelines), &moved),
            said: lead.map(|lead| said(lead, &moved)).unwrap_or_default(),
            beats: lead.map(|lead| beats(lead, &moved)).unwrap_or_default(),
        }
    }

    /// Adds beats that are counted in before it, up to a second.
    pub(super) fn count_in(&mut self, counted: &[Beat], end: f64) {
        let ends = counted.iter().skip(1).map(|beat| beat.seconds).chain([end]);
        let beats = counted.iter().zip(ends).map(|(beat, to)| BeatShown {
            from: beat.seconds,
            to,
            number: beat.number,
            of: beat.of,
        });
        let beats: Vec<BeatShown> = beats.collect();
        let words = beats.iter().map(|beat| Said {
            from: beat.from,
            to: beat.to,
            text: beat.number.to_string().into(),
            sounds: true,
        });
        self.said.splice(0..0, words.collect::<Vec<_>>());
        self.beats.splice(0..0, beats);
    }
}

impl DrawnMotion {
    /// A pass that is played once, with its count-in, in seconds from the start of its music; and the lines of each
    /// drawing of its block.
    #[must_use]
    pub fn of(pass: &Pass, drawings: &[Vec<Line>]) -> Self {
        let timelines: Vec<Timeline> = Timeline::each(&pass.block).collect();
        let moved = |own: f64| own / pass.factor;
        let mut motion = Motion::of((&pass.block, &timelines), moved);
        let mut ways = Vec::new();
        if let Some(lead) = timelines.first() {
            for lines in drawings {
                let lines: Vec<&Line> = lines.iter().collect();
                ways.push(path((&pass.block, lead), &lines, moved));
            }
        }
        let alone = Plan { passes: vec![Pass { times: 1, ..pass.clone() }], ..Plan::default() };
        if let Some(times) = alone.times().first() {
            let counted = count_in_of(pass, *times);
            let own = |beat: Beat| Beat { seconds: beat.seconds - times.music, ..beat };
            let counted: Vec<Beat> = counted.into_iter().map(own).collect();
            motion.count_in(&counted, 0.0);
            ways.iter_mut().for_each(|way| wait(way, &counted));
        }
        Self { motion, ways }
    }
}

/// The cursor waits at the first note while it is counted in.
pub(super) fn wait(way: &mut Vec<PathPoint>, counted: &[Beat]) {
    if let (Some(beat), Some(first)) = (counted.first(), way.first().copied()) {
        way.insert(0, PathPoint { seconds: beat.seconds, ..first });
    }
}

/// The notes that are lit when a block is played once.
fn lights((block, timelines): (&Block, &[Timeline]), moved: &impl Fn(f64) -> f64) -> Vec<Light> {
    let mut all: Vec<Light> = Vec::new();
    for (player, (part, timeline)) in block.parts().zip(timelines).enumerate() {
        let mut seen = None;
        for stroke in &timeline.strokes {
            let main = matches!(stroke.kind, StrokeKind::Main | StrokeKind::Buzz);
            if !main || seen == Some(stroke.note) {
                continue;
            }
            let Some(note) = timeline.notes.get(stroke.note) else { continue };
            seen = Some(stroke.note);
            if let Some(beat) = beat(part, note.id) {
                let (from, to) = (moved(note.seconds), moved(stroke.end_seconds));
                all.push(Light { from, to, player, bar: note.id.bar + 1, beat });
            }
        }
    }
    one_by_one(all)
}

/// Lights by time, each once. Of each player one note is lit after the other: it goes out when the next one sounds,
/// though it may be held under that by another hand or foot.
fn one_by_one(mut lights: Vec<Light>) -> Vec<Light> {
    let order = |a: &Light, b: &Light| {
        a.player
            .cmp(&b.player)
            .then(a.from.total_cmp(&b.from))
            .then_with(|| (a.bar, a.beat).cmp(&(b.bar, b.beat)))
    };
    lights.sort_by(order);
    // What hands and feet strike together is one note.
    lights.dedup_by(|next, kept| {
        let same = (next.player, next.from, next.bar, next.beat)
            == (kept.player, kept.from, kept.bar, kept.beat);
        if same {
            kept.to = kept.to.max(next.to);
        }
        same
    });
    let mut next: Option<(usize, f64, f64)> = None;
    for light in lights.iter_mut().rev() {
        // What begins at the same time ends before the same one.
        let until = match next {
            Some((player, at, _)) if player == light.player && at > light.from => at,
            Some((player, _, after)) if player == light.player => after,
            Some(_) | None => f64::INFINITY,
        };
        light.to = light.to.min(until);
        next = Some((light.player, light.from, until));
    }
    lights.sort_by(|a, b| a.from.total_cmp(&b.from).then(a.player.cmp(&b.player)));
    lights
}

/// The place of a note in its bar, as drawn notes have it.
fn beat(part: &PlayerPart, id: NoteId) -> Option<Time> {
    let bar = part.bars.get(id.bar)?;
    Some(bar.beat(id.voice.of(bar).hits.get(id.hit)?.at))
}

/// The bars of a block in the order of playing: each with its index in it, and the second of its end.
fn played<'a>(
    block: &'a Block,
    timeline: &'a Timeline,
) -> impl Iterator<Item = (usize, usize, &'a Bar, f64)> {
    let ends = timeline.bar_seconds.iter().skip(1).copied().chain([timeline.seconds]);
    let bars = timeline.bars.iter().map(|played| played.bar).zip(ends).enumerate();
    bars.filter_map(|(number, (index, end))| {
        Some((number, index, block.part.bars.get(index)?, end))
    })
}

/// The beats of a block that is played once.
fn beats((block, timeline): (&Block, &Timeline), moved: &impl Fn(f64) -> f64) -> Vec<BeatShown> {
    let mut all = Vec::new();
    for (played, _, bar, end) in played(block, timeline) {
        let beats = beats_of(bar);
        let starts = beats.iter().map(|(at, ..)| timeline.second_in(played, *at));
        let starts: Vec<f64> = starts.collect();
        let ends = starts.iter().skip(1).copied().chain([end]);
        all.extend(beats.iter().zip(starts.iter().zip(ends)).map(
            |((_, number, of), (from, to))| BeatShown {
                from: moved(*from),
                to: moved(to),
                number: *number,
                of: *of,
            },
        ));
    }
    all
}

/// The syllables of a block that is played once: those of its first player who is counted, or the numbers of
/// its beats where nobody is.
fn said((block, timeline): (&Block, &Timeline), moved: &impl Fn(f64) -> f64) -> Vec<Said> {
    let mut all = Vec::new();
    let counted = block.parts().find(|part| part.bars.iter().any(|bar| !bar.counts.is_empty()));
    for (played, index, bar, end) in played(block, timeline) {
        let beats: Vec<Time> = beats_of(bar).into_iter().map(|(at, ..)| at).collect();
        let said: Vec<(Time, Arc<str>, bool)> = match counted.and_then(|part| part.bars.get(index))
        {
            Some(bar) => {
                let syllables = bar.counts.iter();
                syllables.map(|own| (own.at, own.text.as_str().into(), own.sounded)).collect()
            }
            None => numbers(bar),
        };
        let starts: Vec<Time> = said.iter().map(|(at, ..)| *at).collect();
        for (at, text, sounds) in said {
            let later = starts.iter().chain(&beats).filter(|own| **own > at).min();
            let to = later.map_or(end, |own| timeline.second_in(played, *own));
            let from = moved(timeline.second_in(played, at));
            all.push(Said { from, to: moved(to), text, sounds });
        }
    }
    all
}

fn numbers(bar: &Bar) -> Vec<(Time, Arc<str>, bool)> {
    let number = |(at, number, _): (Time, u32, u32)| (at, number.to_string().into(), true);
    beats_of(bar).into_iter().map(number).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_note_of_a_player_is_lit_after_the_other() {
        let light = |player: usize, from: f64, to: f64, beat: (i64, i64)| Light {
            player,
            from,
            to,
            bar: 1,
            beat: Time::new(beat.0, beat.1),
        };
        // A kick is held under two strokes of a hand; at its onset a hand strikes too.
        let lights = vec![
            light(0, 0.0, 2.0, (1, 1)),
            light(0, 0.0, 0.5, (1, 1)),
            light(1, 0.25, 3.0, (5, 4)),
            light(0, 0.5, 0.75, (3, 2)),
            light(0, 1.5, 2.0, (5, 2)),
        ];
        assert_eq!(
            one_by_one(lights),
            [
                light(0, 0.0, 0.5, (1, 1)),
                light(1, 0.25, 3.0, (5, 4)),
                light(0, 0.5, 0.75, (3, 2)),
                light(0, 1.5, 2.0, (5, 2))
            ]
        );
    }
}

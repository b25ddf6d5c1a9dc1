//! What is seen while a block is played once: its pages, the cursor, lit notes, syllables and beats.

use super::path;
use super::path::{PathPoint, beat_of};
use super::scroll::Scroll;
use super::strip::Strip;
use crate::perform::{StrokeKind, Timeline};
use crate::practice::beats_of;
use crate::score::{Bar, Block, PlayerPart, Time};
use std::sync::Arc;

/// A note that is lit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lit {
    /// The second it is struck at.
    pub from: f64,
    /// The second its written value ends at.
    pub to: f64,
    /// The page of the strip.
    pub page: usize,
    /// The note of the page.
    pub note: usize,
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

/// A block that is played once, with its count-in where it begins with one.
#[derive(Clone, Debug)]
pub struct Scene {
    /// The seconds it is seen from and up to.
    pub seconds: (f64, f64),
    /// Its pages.
    pub strip: Arc<Strip>,
    /// The way of the cursor.
    pub path: Vec<PathPoint>,
    /// How the pages move under it; nothing where they stand still.
    pub scroll: Option<Scroll>,
    /// The notes that are lit, by the second they are struck at.
    pub lit: Vec<Lit>,
    /// The syllables, in order.
    pub said: Vec<Said>,
    /// The beats, in order.
    pub beats: Vec<BeatShown>,
    /// The longest time a note is lit.
    pub(super) longest: f64,
}

/// What is seen of a scene at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment<'a> {
    /// The page of its strip.
    pub page: usize,
    /// How far the page is moved to the left.
    pub shift: f64,
    /// Where the cursor is on the page, if it is seen.
    pub cursor: Option<f64>,
    /// The notes of the page that are lit.
    pub lit: Vec<usize>,
    /// The syllable that is said.
    pub said: Option<&'a Said>,
    /// The beat.
    pub beat: Option<&'a BeatShown>,
}

/// The last of things in order that began before a second.
fn last<T>(all: &[T], second: f64, from: impl Fn(&T) -> f64) -> Option<&T> {
    all.get(all.partition_point(|one| from(one) <= second).checked_sub(1)?)
}

impl Scene {
    /// What is seen at a second.
    #[must_use]
    pub fn at(&self, second: f64) -> Moment<'_> {
        let place = path::place(&self.path, second);
        let point = last(&self.path, second, |point| point.seconds).or(self.path.first());
        let page = place.map_or_else(|| point.map_or(0, |point| point.page), |(page, _)| page);
        let from = self.lit.partition_point(|lit| lit.from <= second - self.longest);
        let struck = self.lit.iter().skip(from).take_while(|lit| lit.from <= second);
        let is_now = |lit: &&Lit| lit.to > second && lit.page == page;
        Moment {
            page,
            shift: self.scroll.as_ref().map_or(0.0, |scroll| scroll.at(second)),
            cursor: place.map(|(_, x)| x),
            lit: struck.filter(is_now).map(|lit| lit.note).collect(),
            said: last(&self.said, second, |said| said.from).filter(|said| said.to > second),
            beat: last(&self.beats, second, |beat| beat.from).filter(|beat| beat.to > second),
        }
    }
}

/// The notes that are lit when a block is played once.
pub(super) fn lit(
    (block, timelines): (&Block, &[Timeline]),
    strip: &Strip,
    moved: impl Fn(f64) -> f64,
) -> Vec<Lit> {
    let mut all: Vec<Lit> = Vec::new();
    for (part, timeline) in block.parts().zip(timelines) {
        let mut seen = None;
        for stroke in &timeline.strokes {
            let main = matches!(stroke.kind, StrokeKind::Main | StrokeKind::Buzz);
            if !main || seen == Some(stroke.note) {
                continue;
            }
            let Some(note) = timeline.notes.get(stroke.note) else { continue };
            seen = Some(stroke.note);
            let page = strip.page_of(note.id.bar);
            let drawn = beat(part, note.id).and_then(|beat| {
                let player = part.player.as_ref().map(|player| player.name.as_str());
                strip.pages.get(page)?.note(player, note.id.bar + 1, beat)
            });
            if let Some(drawn) = drawn {
                let (from, to) = (moved(note.seconds), moved(stroke.end_seconds));
                all.push(Lit { from, to, page, note: drawn });
            }
        }
    }
    all.sort_by(|a, b| a.from.total_cmp(&b.from).then(a.note.cmp(&b.note)));
    // What hands and feet strike together is one column.
    all.dedup_by(|next, kept| {
        let same = (next.from, next.page, next.note) == (kept.from, kept.page, kept.note);
        if same {
            kept.to = kept.to.max(next.to);
        }
        same
    });
    all
}

/// The place of a note in its bar, as drawn notes have it.
fn beat(part: &PlayerPart, id: crate::perform::NoteId) -> Option<Time> {
    let bar = part.bars.get(id.bar)?;
    Some(beat_of(bar, id.voice.of(bar).hits.get(id.hit)?.at))
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
pub(super) fn beats(
    (block, timeline): (&Block, &Timeline),
    moved: impl Fn(f64) -> f64,
) -> Vec<BeatShown> {
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
pub(super) fn said(
    (block, timeline): (&Block, &Timeline),
    moved: impl Fn(f64) -> f64,
) -> Vec<Said> {
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

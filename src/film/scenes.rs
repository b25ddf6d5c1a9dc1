//! The scenes of a film, one after another: no more than one is in memory.

use super::made::Film;
use super::motion::{Motion, wait};
use super::path::path;
use super::scene::{Scene, lit};
use super::scroll::Scroll;
use super::strip::Strip;
use super::wanted::Turn;
use crate::perform::Timeline;
use crate::practice::{Beat, Pass, PassTimes, count_in_of};
use crate::score::Block;
use std::sync::Arc;

/// The scenes of a film, in order.
pub struct Scenes<'a> {
    film: &'a Film,
    /// The pass that comes next, and which of its times.
    next: (usize, u32),
    /// The block of the last scene, and how it is played.
    timed: Option<(Arc<Block>, Vec<Timeline>)>,
}

impl Film {
    /// What is seen in it, in order.
    #[must_use]
    pub fn scenes(&self) -> Scenes<'_> {
        Scenes::of(self)
    }
}

impl<'a> Scenes<'a> {
    fn of(film: &'a Film) -> Self {
        Self { film, next: (0, 0), timed: None }
    }

    fn timed(&mut self, block: &Arc<Block>) -> (Arc<Block>, &[Timeline]) {
        if self.timed.as_ref().is_some_and(|(own, _)| !Arc::ptr_eq(own, block)) {
            self.timed = None;
        }
        let (own, timelines) =
            self.timed.get_or_insert_with(|| (block.clone(), Timeline::each(block).collect()));
        (own.clone(), timelines)
    }

    /// The second of the plan from which a time of a pass is seen: in the middle of the pause before it, or
    /// where the one before it ends; nothing after the last.
    fn start(&self, (pass, time): (usize, u32)) -> Option<f64> {
        let times = self.film.times().get(pass)?;
        Some(match time {
            0 => match pass.checked_sub(1).and_then(|before| self.film.times().get(before)) {
                Some(before) => (before.end + times.start) / 2.0,
                None => f64::NEG_INFINITY,
            },
            _ => times.music + times.once * f64::from(time),
        })
    }
}

impl Iterator for Scenes<'_> {
    type Item = Scene;

    fn next(&mut self) -> Option<Scene> {
        let film = self.film;
        let (index, time) = self.next;
        let pass = film.plan().passes.get(index)?;
        let times = *film.times().get(index)?;
        let strip = film.strip(pass.heard_item)?.clone();
        let from = self.start(self.next).unwrap_or(f64::NEG_INFINITY);
        self.next = if time + 1 < pass.times { (index, time + 1) } else { (index + 1, 0) };
        let to = self.start(self.next).unwrap_or(f64::INFINITY);
        let seconds = |plan: f64| if plan.is_finite() { film.second(plan) } else { plan };
        let (block, timelines) = self.timed(&pass.block);
        let start = times.music + times.once * f64::from(time);
        let moved = |own: f64| film.second(start + own / pass.factor);
        let counted = if time == 0 { counted(film, (pass, times)) } else { Vec::new() };
        let counted = (&counted[..], film.second(times.music));
        let mut scene = once((&block, timelines), strip, counted, &moved)?;
        scene.seconds = (seconds(from), seconds(to));
        if film.options().turn == Turn::Scroll {
            let bars: Vec<f64> = match timelines.first() {
                Some(lead) => lead.bar_seconds.iter().map(|own| moved(*own)).collect(),
                None => Vec::new(),
            };
            let beats: Vec<f64> = scene.beats.iter().map(|beat| beat.from).collect();
            scene.scroll = Some(Scroll::of(&film.layout(), &scene.path, (&bars, &beats)));
        }
        Some(scene)
    }
}

/// A block that is played once, and the beats that are counted in before it, up to a second.
fn once(
    (block, timelines): (&Block, &[Timeline]),
    strip: Arc<Strip>,
    (counted, end): (&[Beat], f64),
    moved: &impl Fn(f64) -> f64,
) -> Option<Scene> {
    let lead = (block, timelines.first()?);
    let mut motion = Motion::of((block, timelines), moved);
    motion.count_in(counted, end);
    let mut path = path(lead, &strip.lines(), moved);
    wait(&mut path, counted);
    let lit = lit(block, &motion.lights, &strip);
    let longest = lit.iter().map(|lit| lit.to - lit.from).fold(0.0, f64::max);
    let (said, beats) = (motion.said, motion.beats);
    let seconds = (f64::NEG_INFINITY, f64::INFINITY);
    Some(Scene { seconds, path, scroll: None, said, beats, strip, lit, longest })
}

/// The beats that are counted in before a pass, at seconds of the film.
fn counted(film: &Film, (pass, times): (&Pass, PassTimes)) -> Vec<Beat> {
    let beats = count_in_of(pass, times).into_iter();
    beats.map(|beat| Beat { seconds: film.second(beat.seconds), ..beat }).collect()
}

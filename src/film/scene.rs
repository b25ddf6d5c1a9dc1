//! What is seen while a block is played once: its pages, the cursor, lit notes, syllables and beats.

use super::motion::{BeatShown, Light, Said};
use super::path;
use super::path::PathPoint;
use super::scroll::Scroll;
use super::strip::Strip;
use crate::score::Block;
use std::sync::Arc;

/// A note that is lit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lit {
    /// The second it is struck at.
    pub from: f64,
    /// The second its written value ends at, or its player strikes the next one.
    pub to: f64,
    /// The page of the strip.
    pub page: usize,
    /// The note of the page.
    pub note: usize,
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

/// The notes of a strip that are lit.
pub(super) fn lit(block: &Block, lights: &[Light], strip: &Strip) -> Vec<Lit> {
    let lit = |light: &Light| {
        let page = strip.page_of(light.bar.checked_sub(1)?);
        let part = block.parts().nth(light.player)?;
        let player = part.player.as_ref().map(|player| player.name.as_str());
        let note = strip.pages.get(page)?.note(player, light.bar, light.beat)?;
        Some(Lit { from: light.from, to: light.to, page, note })
    };
    lights.iter().filter_map(lit).collect()
}

//! What is counted beside the music: the syllable that is said, set large, and the beats as dots.

use super::layout::FilmLayout;
use crate::drawing::{Colours, Ink, Kind, Mark, Node, Page, Shape};
use crate::font::{FaceStyle, Fonts};
use kurbo::{Circle, Point, Shape as _};
use std::sync::Arc;

/// Size of the syllable as a share of its room's height; over it stands a part of what is left (no source;
/// looked at).
const WORD: f64 = 0.95;
/// Radius of a dot as a share of its room's height, and of the pitch of the dots; the ring of a beat that is
/// not now.
const DOT: (f64, f64) = (0.24, 0.36);
const RING: f64 = 0.28;
/// The farthest two dots stand apart, in radii.
const PITCH: f64 = 3.4;
/// How exactly circles are drawn, in pixels.
const TOLERANCE: f64 = 0.02;

/// A page as large as a frame with marks on it.
fn page(layout: &FilmLayout, name: String, marks: Vec<Mark>) -> Page {
    Page {
        width: layout.frame.width(),
        height: layout.frame.height(),
        name,
        colours: Colours::default(),
        nodes: marks.into_iter().map(Node::Mark).collect(),
        lines: Arc::default(),
    }
}

/// A syllable, large; lighter where nothing sounds.
#[must_use]
pub fn word(fonts: &Fonts, layout: &FilmLayout, text: &str, sounds: bool) -> Page {
    let room = layout.word;
    let run = fonts.text.shape(text, FaceStyle::Semibold);
    let size = (room.height() * WORD).min(room.width() / run.width.max(f64::MIN_POSITIVE));
    // All syllables stand on one line: in the middle of the room for one of full size.
    let rise = fonts.text.cap_height(FaceStyle::Semibold) * room.height() * WORD;
    let at = Point::new(room.center().x - run.width * size / 2.0, room.center().y + rise / 2.0);
    let ink = if sounds { Ink::Black } else { Ink::Grey };
    let mark = Mark::new(Kind::Count, Shape::Text { run, at, size });
    page(layout, text.to_owned(), vec![Mark { ink, ..mark }])
}

/// The beats of a bar: dots, of which the one of a number from 1 is full.
#[must_use]
pub fn dots(layout: &FilmLayout, of: u32, now: u32) -> Page {
    let room = layout.dots;
    let count = f64::from(of.max(1));
    let radius = (room.height() * DOT.0).min(room.width() / count * DOT.1);
    let pitch = (radius * PITCH).min(room.width() / count);
    let left = room.center().x - pitch * (count - 1.0) / 2.0;
    let dot = |number: u32| {
        let at = Point::new(left + pitch * f64::from(number - 1), room.center().y);
        let outer = Circle::new(at, radius).to_path(TOLERANCE);
        let path = if number == now {
            outer
        } else {
            // What is wound the other way is left out.
            let inner = Circle::new(at, radius * (1.0 - RING)).to_path(TOLERANCE);
            outer.into_iter().chain(inner.reverse_subpaths()).collect()
        };
        Mark::new(Kind::Rule, Shape::Path(path))
    };
    page(layout, format!("{now}/{of}"), (1..=of.max(1)).map(dot).collect())
}

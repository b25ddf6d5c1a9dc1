//! What moves while a block is played, as JSON for the script that moves it on a page (`script/motion.js`): what a film
//! of the block would show, on the music as it is engraved there.
//!
//! | key | value |
//! |---|---|
//! | `ways` | for each drawing of the block `{lines, points}` |
//! | `lines` | its lines of music: `[page, top, bottom, width]`, the page they are on, from 0, from where to where the cursor reaches, and how wide it is, in the drawing's units |
//! | `points` | the way of the cursor: `[time, line, x]`. Between two points of one line it goes straight; of two at one time the second holds |
//! | `lights` | notes by time: `[from, to, bar, beat, player]`; the bar is a number from 1, bar and beat are as in the drawing, the player is empty where there is only one |
//! | `said` | syllables by time: `[from, to, syllable, sounds]` |
//! | `beats` | beats by time: `[from, to, number, of]` |
//!
//! Times are beats or seconds, as whoever writes it likes; zero is the start of the music, and what is counted in
//! comes before it.

use super::number::{fraction, round};
use crate::film::{DrawnMotion, Line, PathPoint, cursor_reach};
use crate::practice::Pass;
use serde::Serialize;

/// Times are told to so many parts: at 30 beats a minute 20 microseconds.
const PARTS: f64 = 1e5;

/// What moves on the drawings of a block.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct MotionDump {
    ways: Vec<WayDump>,
    lights: Vec<(f64, f64, usize, String, String)>,
    said: Vec<(f64, f64, String, bool)>,
    beats: Vec<(f64, f64, u32, u32)>,
}

#[derive(Clone, Debug, Default, PartialEq, Serialize)]
struct WayDump {
    lines: Vec<(usize, f64, f64, f64)>,
    points: Vec<(f64, usize, f64)>,
}

impl MotionDump {
    /// That of a pass that is played once. Its drawings are lists of lines, each with the page it is on; a second is
    /// so many units of time.
    #[must_use]
    pub fn of(pass: &Pass, drawings: Vec<Vec<(usize, Line)>>, units: f64) -> Self {
        let time = |seconds: f64| (seconds * units * PARTS).round() / PARTS;
        let mut pages: Vec<Vec<usize>> = Vec::new();
        let mut lines: Vec<Vec<Line>> = Vec::new();
        for drawing in drawings {
            let (own, music) = drawing.into_iter().unzip();
            pages.push(own);
            lines.push(music);
        }
        let DrawnMotion { motion, ways } = DrawnMotion::of(pass, &lines);
        let several = !pass.block.others.is_empty();
        let player = |index: usize| {
            let part = pass.block.parts().nth(index).filter(|_| several);
            part.and_then(|part| Some(part.player.as_ref()?.name.clone())).unwrap_or_default()
        };
        let way =
            |((points, lines), pages): ((&Vec<PathPoint>, &Vec<Line>), &Vec<usize>)| WayDump {
                lines: pages.iter().zip(lines).map(|(page, line)| place(*page, line)).collect(),
                points: points
                    .iter()
                    .map(|point| (time(point.seconds), point.page, round(point.x)))
                    .collect(),
            };
        Self {
            ways: ways.iter().zip(&lines).zip(&pages).map(way).collect(),
            lights: motion
                .lights
                .iter()
                .map(|own| {
                    let place = (own.bar, fraction(own.beat), player(own.player));
                    (time(own.from), time(own.to), place.0, place.1, place.2)
                })
                .collect(),
            said: motion
                .said
                .into_iter()
                .map(|own| (time(own.from), time(own.to), own.text.to_string(), own.sounds))
                .collect(),
            beats: motion
                .beats
                .iter()
                .map(|own| (time(own.from), time(own.to), own.number, own.of))
                .collect(),
        }
    }
}

/// Lines in order, in runs up to where their bars begin again: there another block begins that is written at the same
/// place, as the exercises of a series are.
pub fn runs<P>(lines: impl IntoIterator<Item = (P, Line)>) -> Vec<Vec<(P, Line)>> {
    let mut runs: Vec<Vec<(P, Line)>> = Vec::new();
    let mut next = 0;
    for (place, line) in lines {
        let goes_on = line.first >= next;
        next = line.first + 1;
        match runs.last_mut().filter(|_| goes_on) {
            Some(run) => run.push((place, line)),
            None => runs.push(vec![(place, line)]),
        }
    }
    runs
}

/// Where the cursor reaches on a line.
fn place(page: usize, line: &Line) -> (usize, f64, f64, f64) {
    let (top, bottom, width) = cursor_reach(line.music);
    (page, round(top), round(bottom), round(width))
}

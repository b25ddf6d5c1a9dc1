//! Music that moves steadily under a cursor that hardly does.

use super::layout::FilmLayout;
use super::path::PathPoint;

/// Where the cursor is as a share of the width of the music's room: what comes is read ahead of it (no source;
/// looked at).
const ANCHOR: f64 = 0.35;
/// Bars that are wider than this share of the room are followed beat by beat, so that the cursor stays near its
/// place.
const WIDE: f64 = 0.33;

/// How far music is moved to the left at which second: without a jump of its place or of its speed, but where the
/// music itself jumps.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scroll {
    runs: Vec<Run>,
}

/// Music that goes on without a jump.
#[derive(Clone, Debug, Default, PartialEq)]
struct Run {
    knots: Vec<Knot>,
}

/// A place that is under the cursor at a second, and how fast it moves there, in pixels a second.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    seconds: f64,
    x: f64,
    speed: f64,
}

impl Scroll {
    /// That of a cursor's way; beats and bars begin at these seconds.
    pub(super) fn of(
        layout: &FilmLayout,
        path: &[PathPoint],
        (bars, beats): (&[f64], &[f64]),
    ) -> Self {
        let anchor = layout.strip.x0 + layout.strip.width() * ANCHOR;
        let runs = runs(path).into_iter().map(|run| {
            let at = |seconds: &f64| (*seconds, place(run, *seconds));
            let inside = |seconds: &&f64| {
                let ends = run.first().zip(run.last());
                ends.is_some_and(|(a, b)| a.seconds < **seconds && **seconds < b.seconds)
            };
            let ends = |middle: Vec<(f64, f64)>| {
                let first = run.first().map(|point| (point.seconds, point.x));
                let last = run.last().map(|point| (point.seconds, point.x));
                first.into_iter().chain(middle).chain(last).collect::<Vec<_>>()
            };
            let by_bars = ends(bars.iter().filter(inside).map(at).collect());
            let widest = by_bars.windows(2).map(|pair| match pair {
                [a, b] => b.1 - a.1,
                _ => 0.0,
            });
            let is_wide = widest.fold(0.0, f64::max) > layout.strip.width() * WIDE;
            let by_beats = is_wide.then(|| ends(beats.iter().filter(inside).map(at).collect()));
            Run::through(by_beats.unwrap_or(by_bars), anchor)
        });
        Self { runs: runs.collect() }
    }

    /// How far the music is moved at a second, in pixels.
    #[must_use]
    pub fn at(&self, second: f64) -> f64 {
        let begun = self
            .runs
            .partition_point(|run| run.knots.first().is_some_and(|first| first.seconds <= second));
        let run = self.runs.get(begun.saturating_sub(1));
        run.map_or(0.0, |run| run.at(second))
    }
}

/// The parts of a way between which it jumps back, or to another page.
fn runs(path: &[PathPoint]) -> Vec<&[PathPoint]> {
    path.chunk_by(|a, b| a.page == b.page && a.x <= b.x).collect()
}

/// The place of a way at a second within it.
fn place(run: &[PathPoint], second: f64) -> f64 {
    let next = run.partition_point(|point| point.seconds <= second);
    match (run.get(next.saturating_sub(1)), run.get(next)) {
        (Some(last), Some(next)) if next.seconds > last.seconds => {
            last.x + (next.x - last.x) * (second - last.seconds) / (next.seconds - last.seconds)
        }
        (Some(last), _) => last.x,
        (None, next) => next.map_or(0.0, |next| next.x),
    }
}

impl Run {
    /// Cubic pieces through places, with the speeds of Fritsch and Butland (*A method for constructing local
    /// monotone piecewise cubic interpolants*, 1984, from memory): they never run back.
    fn through(places: Vec<(f64, f64)>, anchor: f64) -> Self {
        let mut places = places;
        places.dedup_by(|next, kept| next.0 <= kept.0);
        let slope = |pair: &[(f64, f64)]| match pair {
            [a, b] => (b.1 - a.1) / (b.0 - a.0),
            _ => 0.0,
        };
        let slopes: Vec<f64> = places.windows(2).map(slope).collect();
        let knot = |(index, (seconds, x)): (usize, &(f64, f64))| {
            let before = index.checked_sub(1).and_then(|before| slopes.get(before)).copied();
            let speed = match (before, slopes.get(index).copied()) {
                (Some(a), Some(b)) if a > 0.0 && b > 0.0 => 2.0 * a * b / (a + b),
                (Some(_), Some(_)) => 0.0,
                (Some(only), None) | (None, Some(only)) => only,
                (None, None) => 0.0,
            };
            Knot { seconds: *seconds, x: x - anchor, speed }
        };
        Self { knots: places.iter().enumerate().map(knot).collect() }
    }

    fn at(&self, second: f64) -> f64 {
        let next = self.knots.partition_point(|knot| knot.seconds <= second);
        match (next.checked_sub(1).and_then(|last| self.knots.get(last)), self.knots.get(next)) {
            (Some(a), Some(b)) => {
                let length = b.seconds - a.seconds;
                let t = (second - a.seconds) / length;
                let (t2, t3) = (t * t, t * t * t);
                // The polynomials of Hermite.
                a.x * (2.0 * t3 - 3.0 * t2 + 1.0)
                    + a.speed * length * (t3 - 2.0 * t2 + t)
                    + b.x * (3.0 * t2 - 2.0 * t3)
                    + b.speed * length * (t3 - t2)
            }
            (Some(only), None) | (None, Some(only)) => only.x,
            (None, None) => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::film::{FilmSize, Follow};

    /// Speeds never jump by more than the curve itself bends, and the music never runs back.
    #[test]
    fn it_never_jerks() {
        let layout = FilmLayout::of(FilmSize::default(), Follow::default());
        let point = |seconds, x| PathPoint { seconds, page: 0, x };
        let path = [
            point(0.0, 400.0),
            point(2.0, 400.0),
            point(2.5, 500.0),
            point(4.0, 640.0),
            point(6.0, 1100.0),
            point(8.0, 1400.0),
        ];
        let scroll = Scroll::of(&layout, &path, (&[2.0, 4.0, 6.0], &[]));
        let step = 1.0 / 240.0;
        let places: Vec<f64> = (0..=1920).map(|n| scroll.at(f64::from(n) * step)).collect();
        let speeds: Vec<f64> = places.windows(2).map(|pair| (pair[1] - pair[0]) / step).collect();
        assert!(speeds.iter().all(|speed| *speed >= -1e-6));
        let jerk = speeds.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max);
        assert!(jerk < 6.0, "{jerk} pixels a second from one frame to the next");
    }
}

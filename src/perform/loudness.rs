//! How loud each stroke is: dynamics and hairpins, accents, ghost notes and grace notes.

use crate::score::dynamic::{Letters, Level};
use crate::score::{Accent, DynamicKind, PlayerPart, Strike, Time};

/// From silence, 0, to the loudest there is, 1.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Loudness(f64);

/// The step from one dynamic to the next, and what a sign adds to or leaves of the dynamic it stands
/// in. Common practice, no source.
const STEP: f64 = 0.1;
const ACCENT: f64 = 0.15;
const MARCATO: f64 = 0.25;
const GHOST: f64 = 0.4;
const GRACE: f64 = 0.6;

/// What holds where no dynamic is written. Common practice, no source.
const UNSAID: Level = Level::Mf;

impl Loudness {
    /// The loudness of a dynamic.
    #[must_use]
    pub fn of(level: Level) -> Self {
        let steps: u8 = match level {
            Level::Niente => 0,
            Level::Pppp => 1,
            Level::Ppp => 2,
            Level::Pp => 3,
            Level::P => 4,
            Level::Mp => 5,
            Level::Mf => 6,
            Level::F => 7,
            Level::Ff => 8,
            Level::Fff => 9,
            Level::Ffff => 10,
        };
        Self::new(f64::from(steps) * STEP)
    }

    fn new(value: f64) -> Self {
        Self(value.clamp(0.0, 1.0))
    }

    /// From 0 to 1.
    #[must_use]
    pub fn value(self) -> f64 {
        self.0
    }

    /// So many times as loud, but neither under nor over what there is.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self::new(self.0 * factor)
    }

    /// A strike in this dynamic.
    pub(super) fn struck(self, strike: &Strike) -> Self {
        let accent = match strike.accent {
            Accent::None => 0.0,
            Accent::Accent => ACCENT,
            Accent::Marcato => MARCATO,
        };
        let value = self.0 + accent;
        Self::new(if strike.ghost { value * GHOST } else { value })
    }

    /// A grace note before a stroke of this loudness.
    pub(super) fn grace(self) -> Self {
        Self::new(self.0 * GRACE)
    }
}

/// A point of the course of loudness, counted from the block's start as it is written.
#[derive(Clone, Copy, Debug)]
struct Point {
    at: Time,
    /// Struck right here.
    struck: Loudness,
    /// From here on.
    then: Loudness,
    /// It grows or falls up to the next point.
    slopes: bool,
}

/// The course of loudness through a block as it is written.
pub(super) struct Course {
    points: Vec<Point>,
}

impl Course {
    /// The course of a player. A hairpin that leads to no dynamic ends one step louder or softer.
    pub(super) fn of(part: &PlayerPart) -> Self {
        let start = Loudness::of(UNSAID);
        let mut points = vec![Point { at: Time::ZERO, struck: start, then: start, slopes: false }];
        let mut open: Option<f64> = None;
        let mut bar_start = Time::ZERO;
        for bar in &part.bars {
            for dynamic in &bar.dynamics {
                let before = points.last().map_or(start, |point| point.then);
                let reached = Loudness::new(before.0 + open.take().unwrap_or(0.0));
                let at = bar_start + dynamic.at;
                let point = |struck, then, slopes| Point { at, struck, then, slopes };
                points.push(match dynamic.kind {
                    DynamicKind::Letters(letters) => letter(letters, reached, at),
                    DynamicKind::Louder(_) => {
                        open = Some(STEP);
                        point(reached, reached, true)
                    }
                    DynamicKind::Softer(_) => {
                        open = Some(-STEP);
                        point(reached, reached, true)
                    }
                    DynamicKind::End => point(reached, reached, false),
                });
            }
            bar_start += bar.length;
        }
        if let Some(by) = open {
            let last = points.last().map_or(start, |point| point.then);
            let reached = Loudness::new(last.0 + by);
            points.push(Point { at: bar_start, struck: reached, then: reached, slopes: false });
        }
        Self { points }
    }

    /// The loudness at a time from the block's start as it is written.
    pub(super) fn at(&self, at: Time) -> Loudness {
        let next = self.points.partition_point(|point| point.at <= at);
        let Some(now) = next.checked_sub(1).and_then(|i| self.points.get(i)) else {
            return Loudness::of(UNSAID);
        };
        if now.at == at {
            return now.struck;
        }
        match self.points.get(next).filter(|_| now.slopes) {
            Some(to) => {
                let way = (at - now.at).as_f64() / (to.at - now.at).as_f64().max(f64::EPSILON);
                Loudness::new(now.then.0 + (to.struck.0 - now.then.0) * way)
            }
            None => now.then,
        }
    }
}

fn letter(letters: Letters, before: Loudness, at: Time) -> Point {
    let struck = Loudness::of(letters.struck());
    let then = letters.then().map_or(before, Loudness::of);
    Point { at, struck, then, slopes: false }
}

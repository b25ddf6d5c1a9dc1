//! How fast written time goes by.

use crate::score::Time;

/// A stretch of even tempo; gradual changes are told in steps of a sixteenth at most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TempoStep {
    /// Its musical time from the start of what is played, as it sounds.
    pub at: Time,
    /// The second it starts at.
    pub seconds: f64,
    /// Seconds of a whole note in it, over zero.
    pub whole: f64,
}

/// How fast written time goes by from some moment on.
#[derive(Clone, Copy, Debug)]
pub(super) enum Pace {
    /// Seconds of a whole note.
    Even(f64),
    /// A change from one tempo to another.
    Ramp(Ramp),
}

/// A tempo that changes in proportion to written time: over a length L from a speed v0 to a speed v1, in
/// whole notes a second, the speed after x whole notes is `v(x) = v0 + (v1 - v0) x / L`. A moment takes
/// `dx / v(x)` seconds, so that from x to y there go by `L / (v1 - v0) * ln(v(y) / v(x))`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ramp {
    /// Speeds at its ends, over zero.
    from: f64,
    to: f64,
    /// Whole notes it takes, over zero.
    length: f64,
    /// Whole notes of it that are over.
    over: f64,
}

/// Ramps shorter than this many whole notes, and speeds nearer than this many whole notes a second, are
/// taken as none: less than any written note and any difference that is heard.
const LEAST: f64 = 1e-9;

impl Pace {
    /// A ramp between two tempos in seconds of a whole note, which takes some whole notes.
    pub(super) fn ramp(from: f64, to: f64, length: f64) -> Self {
        let (from, to) = (1.0 / from.max(LEAST), 1.0 / to.max(LEAST));
        match length < LEAST {
            true => Self::Even(1.0 / to),
            false => Self::Ramp(Ramp { from, to, length, over: 0.0 }),
        }
    }

    /// Seconds that some whole notes take from here on.
    pub(super) fn seconds(self, wholes: f64) -> f64 {
        match self {
            Self::Even(whole) => wholes * whole,
            Self::Ramp(ramp) => ramp.seconds(wholes),
        }
    }

    /// The pace after some whole notes.
    pub(super) fn after(self, wholes: f64) -> Self {
        match self {
            Self::Even(_) => self,
            Self::Ramp(ramp) => Self::Ramp(Ramp { over: ramp.over + wholes, ..ramp }),
        }
    }

    /// Seconds of a whole note right here.
    pub(super) fn whole(self) -> f64 {
        match self {
            Self::Even(whole) => whole,
            Self::Ramp(ramp) => 1.0 / ramp.speed(ramp.over),
        }
    }
}

impl Ramp {
    fn speed(self, over: f64) -> f64 {
        let share = (over / self.length).clamp(0.0, 1.0);
        self.from + (self.to - self.from) * share
    }

    fn seconds(self, wholes: f64) -> f64 {
        let (before, after) = (self.speed(self.over), self.speed(self.over + wholes));
        let rise = (self.to - self.from) / self.length;
        // Nearly even, or past its end.
        if rise.abs() < LEAST || (after - before).abs() < LEAST {
            return wholes / before.max(LEAST);
        }
        libm::log(after / before) / rise
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From 120 to 60 quarters a minute over a whole note: from 0.5 to 0.25 whole notes a second, so
    /// 1 / -0.25 * ln(0.25 / 0.5) = 4 ln 2 = 2.7726 s; the first half of it, to 0.375, takes
    /// -4 ln(0.75) = 1.1507 s.
    #[test]
    fn a_ramp_is_integrated() {
        let ramp = Pace::ramp(2.0, 4.0, 1.0);
        assert!((ramp.seconds(1.0) - 4.0 * 2.0_f64.ln()).abs() < 1e-12);
        assert!((ramp.seconds(0.5) + 4.0 * 0.75_f64.ln()).abs() < 1e-12);
        let second = ramp.after(0.5).seconds(0.5);
        assert!((ramp.seconds(0.5) + second - ramp.seconds(1.0)).abs() < 1e-12);
        assert!((ramp.after(1.0).whole() - 4.0).abs() < 1e-12);
        assert!((Pace::ramp(2.0, 2.0, 1.0).seconds(0.5) - 1.0).abs() < 1e-12);
        assert!((Pace::ramp(2.0, 4.0, 0.0).seconds(0.5) - 2.0).abs() < 1e-12);
    }
}

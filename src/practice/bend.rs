//! A plan laid along what was really played: where its moments fall in a recording.

use std::fmt;

/// Where the moments of a plan fall: straight lines between points that are known, and beyond them as fast as
/// at the nearest two. By default everything falls where the plan has it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bend {
    /// Seconds of the plan and of the recording; both grow.
    points: Vec<(f64, f64)>,
}

/// Why a plan can't be laid along a recording.
#[derive(Clone, Debug, PartialEq)]
pub enum BendError {
    /// A time is not later than the one before it.
    NotLater {
        /// Which of them, from 1.
        number: usize,
        /// Its second.
        second: f64,
        /// That of the one before.
        before: f64,
    },
    /// There are more taps than beats.
    TooManyBeats {
        /// The taps.
        taps: usize,
        /// The beats there are.
        beats: usize,
    },
    /// A tap is for a bar that is not played.
    NoSuchBar {
        /// The bar, in the order of playing, from 1.
        bar: usize,
        /// How many are played.
        bars: usize,
    },
    /// A single moment says nothing of how fast it goes on, and none says nothing at all.
    TooFew,
}

impl fmt::Display for BendError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotLater { number, second, before } => write!(
                f,
                "time {number} is {second} s, which is not later than the one before it, {before} s"
            ),
            Self::TooManyBeats { taps, beats } => {
                write!(f, "there are {taps} taps, and only {beats} beats are played")
            }
            Self::NoSuchBar { bar, bars } => {
                write!(f, "a tap is for bar {bar}, and {bars} bars are played")
            }
            Self::TooFew => f.write_str("at least two moments are needed"),
        }
    }
}

impl std::error::Error for BendError {}

impl Bend {
    /// Everything later by so many seconds, or earlier where they are below zero.
    #[must_use]
    pub fn later_by(seconds: f64) -> Self {
        Self { points: vec![(0.0, seconds)] }
    }

    /// Through points of a plan's second and the second it was played at.
    ///
    /// # Errors
    ///
    /// There are fewer than two, or one is not later than the one before it.
    pub fn through(points: Vec<(f64, f64)>) -> Result<Self, BendError> {
        if points.len() < 2 {
            return Err(BendError::TooFew);
        }
        for (number, pair) in (2..).zip(points.windows(2)) {
            let [(plan, before), (next, second)] = pair else { continue };
            if second <= before || next <= plan {
                return Err(BendError::NotLater { number, second: *second, before: *before });
            }
        }
        Ok(Self { points })
    }

    /// The second of the recording at which a second of the plan falls.
    #[must_use]
    pub fn second(&self, plan: f64) -> f64 {
        let next = self.points.partition_point(|(own, _)| *own <= plan);
        let first = next.saturating_sub(1).min(self.points.len().saturating_sub(2));
        match (self.points.get(first), self.points.get(first + 1)) {
            (Some((p0, s0)), Some((p1, s1))) => s0 + (plan - p0) * (s1 - s0) / (p1 - p0),
            (Some((p0, s0)), None) => s0 + (plan - p0),
            (None, _) => plan,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_straight_between_points_and_go_on_beyond_them() {
        let bend = Bend::through(vec![(0.5, 10.0), (1.0, 11.0), (2.0, 12.0)]).unwrap();
        let told = [0.0, 0.5, 0.75, 1.0, 1.5, 2.0, 4.0].map(|plan| bend.second(plan));
        assert_eq!(told, [9.0, 10.0, 10.5, 11.0, 11.5, 12.0, 14.0]);
        assert_eq!(Bend::default().second(3.25), 3.25);
        assert_eq!(Bend::later_by(-0.5).second(3.25), 2.75);
    }

    #[test]
    fn time_does_not_run_back() {
        assert_eq!(Bend::through(vec![(0.0, 1.0)]), Err(BendError::TooFew));
        let back = Bend::through(vec![(0.0, 1.0), (1.0, 2.0), (2.0, 2.0)]).unwrap_err();
        assert_eq!(
            back.to_string(),
            "time 3 is 2 s, which is not later than the one before it, 2 s"
        );
    }
}

//! Time signatures, their beats and their beam groups.

use super::Time;

/// How a time signature divides its bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MeterKind {
    /// Beats divide in two: 4/4, 2/2, 5/4, 7/8 (beats of an eighth).
    Simple,
    /// Beats are dotted: 6/8, 9/8, 12/8, 6/4, 6/16 ...
    Compound,
    /// Beats are the written groups: 2+2+3/8.
    Additive,
    /// There is none: bars are as long as what stands in them.
    Unmetered,
}

/// How a time signature is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum MeterSign {
    /// Numbers.
    #[default]
    Numbers,
    /// `C`, written `time: common`.
    Common,
    /// `C` with a stroke, written `time: cut`.
    Cut,
    /// Not at all, written `time: none`.
    Unprinted,
}

/// A time signature.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Meter {
    /// The upper numbers: one, or the written groups of an additive signature, or the groups of an
    /// unmetered bar.
    pub upper: Vec<u32>,
    /// The lower number, a power of two up to 64; of an unmetered bar any number that its groups are
    /// whole numbers of.
    pub lower: u32,
    /// How it divides.
    pub kind: MeterKind,
    /// How it is printed.
    pub sign: MeterSign,
}

impl Meter {
    /// 4/4.
    pub fn four_four() -> Self {
        Self { upper: vec![4], lower: 4, kind: MeterKind::Simple, sign: MeterSign::Numbers }
    }

    /// No time signature, with the groups of one bar, each a part of a whole note.
    #[must_use]
    pub fn unmetered(groups: &[Time]) -> Self {
        let all = groups.iter().map(|group| group.denominator());
        let lower = all.fold(4, num_integer::lcm);
        let upper = groups.iter().map(|group| (*group * lower).numerator());
        Self {
            upper: upper.map(|n| u32::try_from(n).unwrap_or(u32::MAX)).collect(),
            lower: u32::try_from(lower).unwrap_or(u32::MAX),
            kind: MeterKind::Unmetered,
            sign: MeterSign::Unprinted,
        }
    }

    /// Whether there is a time signature.
    #[must_use]
    pub fn is_measured(&self) -> bool {
        self.kind != MeterKind::Unmetered
    }

    /// Whether it is the same time signature as another, or neither is one.
    #[must_use]
    pub fn is_same_time(&self, other: &Self) -> bool {
        self == other || !(self.is_measured() || other.is_measured())
    }

    /// The length of a bar.
    pub fn length(&self) -> Time {
        Time::new(self.upper.iter().map(|n| i64::from(*n)).sum(), i64::from(self.lower))
    }

    /// The note the lower number names.
    pub fn unit(&self) -> Time {
        Time::new(1, i64::from(self.lower))
    }

    /// The beat of compound time, which is dotted.
    pub fn dotted_beat(&self) -> Option<Time> {
        (self.kind == MeterKind::Compound).then(|| self.unit() * 3)
    }

    /// The beats a group of cells stands for, in order: quarters in 4/4, dotted quarters in 6/8,
    /// eighths in 7/8, the written groups in 2+2+3/8.
    pub fn beats(&self) -> Vec<Time> {
        let unit = self.unit();
        match self.kind {
            MeterKind::Additive | MeterKind::Unmetered => {
                self.upper.iter().map(|n| unit * i64::from(*n)).collect()
            }
            MeterKind::Compound => {
                let count = self.upper.iter().sum::<u32>() / 3;
                vec![unit * 3; count as usize]
            }
            MeterKind::Simple => vec![unit; self.upper.iter().sum::<u32>() as usize],
        }
    }

    /// The spans a beam may not leave, in order, and which add up to the bar: each beat, but for
    /// beats shorter than a quarter, which are gathered (7/8 as 2+2+3, 3/8 as one).
    pub fn beam_groups(&self) -> Vec<Time> {
        let unit = self.unit();
        if self.kind != MeterKind::Simple || self.lower <= 4 {
            return self.beats();
        }
        let in_quarter = (self.lower / 4).max(1);
        let mut left = self.upper.iter().sum::<u32>();
        let mut groups = Vec::new();
        while left > 0 {
            let take = match left {
                n if n <= in_quarter + in_quarter / 2 => n,
                _ => in_quarter,
            };
            groups.push(unit * i64::from(take));
            left -= take;
        }
        groups
    }
}

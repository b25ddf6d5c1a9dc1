//! Exact musical time.

use num_rational::Ratio;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Sub};

/// A length or a position in time, in whole notes, exact. A quarter note is `1/4`.
///
/// The dealer of cells bounds every division (32 parts in a group, 16 in a split, three splits
/// deep, spreads over a small set of denominators), so that sums and products of times of one bar
/// stay far inside 64 bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Time(Ratio<i64>);

impl Time {
    /// No time at all.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));
    /// A whole note.
    pub const WHOLE: Self = Self(Ratio::new_raw(1, 1));
    /// A quarter note.
    pub const QUARTER: Self = Self(Ratio::new_raw(1, 4));
    /// An eighth note.
    pub const EIGHTH: Self = Self(Ratio::new_raw(1, 8));
    /// A sixteenth note.
    pub const SIXTEENTH: Self = Self(Ratio::new_raw(1, 16));

    /// `numerator/denominator` of a whole note; a denominator of zero counts as one.
    pub fn new(numerator: i64, denominator: i64) -> Self {
        Self(Ratio::new(numerator, if denominator == 0 { 1 } else { denominator }))
    }

    /// The numerator in lowest terms.
    pub fn numerator(self) -> i64 {
        *self.0.numer()
    }

    /// The denominator in lowest terms, at least 1.
    pub fn denominator(self) -> i64 {
        *self.0.denom()
    }

    /// In whole notes, for spacing and drawing only.
    pub fn as_f64(self) -> f64 {
        self.numerator() as f64 / self.denominator() as f64
    }

    /// How often `other` goes into this, exactly; zero where `other` is zero.
    pub fn ratio(self, other: Self) -> Ratio<i64> {
        if other == Self::ZERO { Ratio::new_raw(0, 1) } else { self.0 / other.0 }
    }

    /// Whether this is a whole number of `unit`.
    pub fn is_multiple_of(self, unit: Self) -> bool {
        self.ratio(unit).is_integer()
    }
}

impl fmt::Display for Time {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.numerator(), self.denominator())
    }
}

impl Default for Time {
    fn default() -> Self {
        Self::ZERO
    }
}

impl Add for Time {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Time {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Time {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<i64> for Time {
    type Output = Self;
    fn mul(self, by: i64) -> Self {
        Self(self.0 * by)
    }
}

impl Mul<Ratio<i64>> for Time {
    type Output = Self;
    fn mul(self, by: Ratio<i64>) -> Self {
        Self(self.0 * by)
    }
}

impl Div<i64> for Time {
    type Output = Self;
    fn div(self, by: i64) -> Self {
        Self(self.0 / if by == 0 { 1 } else { by })
    }
}

impl Sum for Time {
    fn sum<I: Iterator<Item = Self>>(times: I) -> Self {
        times.fold(Self::ZERO, Add::add)
    }
}

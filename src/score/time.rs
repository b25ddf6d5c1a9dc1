//! Exact musical time.

use num_rational::Ratio;
use std::cmp::Ordering;
use std::fmt;
use std::iter::Sum;
use std::num::NonZeroU64;
use std::ops::{Add, AddAssign, Div, Mul, Sub};

/// A length or a position in time, in whole notes, exact. A quarter note is `1/4`.
///
/// The dealer of cells bounds every division (32 parts in a group, 16 in a split, three splits
/// deep, spreads over a small set of denominators), so that sums and products of times of one bar
/// stay far inside 64 bits. Comparisons are exact for all times.
///
/// It is a ratio in lowest terms. Its denominator is never zero, so that a time that may be missing takes no more room:
/// a book has hundreds of thousands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Time {
    numerator: i64,
    denominator: NonZeroU64,
}

impl Time {
    /// No time at all.
    pub const ZERO: Self = Self::reduced(0, 1);
    /// A whole note.
    pub const WHOLE: Self = Self::reduced(1, 1);
    /// A quarter note.
    pub const QUARTER: Self = Self::reduced(1, 4);
    /// An eighth note.
    pub const EIGHTH: Self = Self::reduced(1, 8);
    /// A sixteenth note.
    pub const SIXTEENTH: Self = Self::reduced(1, 16);

    /// `numerator/denominator` of a whole note; a denominator of zero counts as one.
    pub fn new(numerator: i64, denominator: i64) -> Self {
        match halvings(denominator) {
            Some(halvings) => Self::of_halvings(numerator, halvings),
            None => Self::of(Ratio::new(numerator, if denominator == 0 { 1 } else { denominator })),
        }
    }

    /// The same in lowest terms already, over a denominator above zero.
    const fn reduced(numerator: i64, denominator: i64) -> Self {
        let denominator = match NonZeroU64::new(denominator.unsigned_abs()) {
            Some(denominator) => denominator,
            None => NonZeroU64::MIN,
        };
        Self { numerator, denominator }
    }

    fn of(ratio: Ratio<i64>) -> Self {
        Self::reduced(*ratio.numer(), *ratio.denom())
    }

    fn as_ratio(self) -> Ratio<i64> {
        Ratio::new_raw(self.numerator(), self.denominator())
    }

    /// The numerator in lowest terms.
    pub fn numerator(self) -> i64 {
        self.numerator
    }

    /// The denominator in lowest terms, at least 1.
    pub fn denominator(self) -> i64 {
        self.denominator.get().cast_signed()
    }

    /// In whole notes, for spacing and drawing only.
    pub fn as_f64(self) -> f64 {
        self.numerator() as f64 / self.denominator() as f64
    }

    /// How often `other` goes into this, exactly; zero where `other` is zero.
    pub fn ratio(self, other: Self) -> Ratio<i64> {
        if other == Self::ZERO {
            return Ratio::new_raw(0, 1);
        }
        // Of one part, as the length of a note without a dot is, this is how many parts there are.
        let parts = other.halvings().filter(|_| other.numerator() == 1);
        let counted = parts.and_then(|halvings| self.numerator().checked_mul(1 << halvings));
        match counted {
            Some(count) => Self::new(count, self.denominator()).as_ratio(),
            None => self.as_ratio() / other.as_ratio(),
        }
    }

    /// Whether this is a whole number of `unit`.
    pub fn is_multiple_of(self, unit: Self) -> bool {
        let (over, under) = self.crossed(unit);
        under == 0 || over % under == 0
    }

    /// Both numerators over one denominator, which is two to the power of the last, where both of theirs are powers of
    /// two: so nearly all of them are.
    fn in_halvings(self, other: Self) -> Option<(i64, i64, u32)> {
        let (own, others) = (self.halvings()?, other.halvings()?);
        let most = own.max(others);
        let widened = |time: Self, by: u32| time.numerator().checked_mul(1 << by);
        Some((widened(self, most - own)?, widened(other, most - others)?, most))
    }

    /// How often the whole note is halved whose parts it counts; nothing where these are others.
    fn halvings(self) -> Option<u32> {
        halvings(self.denominator())
    }

    /// So many parts of a whole note that is halved so often, in lowest terms; fewer than 63 times.
    pub(crate) fn of_halvings(parts: i64, halvings: u32) -> Self {
        let spare = parts.trailing_zeros().min(halvings);
        Self::reduced(parts >> spare, 1 << (halvings - spare))
    }

    /// Both numerators over the product of both denominators: exact, since the products of two numbers
    /// of 64 bits are at most 127 bits long.
    fn crossed(self, other: Self) -> (i128, i128) {
        let product = |a: i64, b: i64| i128::from(a) * i128::from(b);
        (
            product(self.numerator(), other.denominator()),
            product(other.numerator(), self.denominator()),
        )
    }
}

/// A denominator of 64 bits with a sign is two to a lower power than this.
const MOST_HALVINGS: u32 = 63;

/// The power of two that a number is, where it is one.
fn halvings(parts: i64) -> Option<u32> {
    let parts = u64::try_from(parts).ok().filter(|parts| parts.is_power_of_two())?;
    Some(parts.trailing_zeros())
}

// The general comparison of ratios divides again and again, and is not needed to compare.

impl Ord for Time {
    fn cmp(&self, other: &Self) -> Ordering {
        if self.denominator() == other.denominator() {
            return self.numerator().cmp(&other.numerator());
        }
        let (own, others) = self.crossed(*other);
        own.cmp(&others)
    }
}

impl PartialOrd for Time {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
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
        // Sums begin at zero; nothing added leaves the lowest terms as they are.
        match (self.numerator(), other.numerator()) {
            (0, _) => other,
            (_, 0) => self,
            _ => match self.in_halvings(other).map(|(a, b, most)| (a.checked_add(b), most)) {
                Some((Some(sum), most)) => Self::of_halvings(sum, most),
                Some((None, _)) | None => Self::of(self.as_ratio() + other.as_ratio()),
            },
        }
    }
}

impl AddAssign for Time {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Time {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        if other.numerator() == 0 {
            return self;
        }
        match self.in_halvings(other).map(|(a, b, most)| (a.checked_sub(b), most)) {
            Some((Some(rest), most)) => Self::of_halvings(rest, most),
            Some((None, _)) | None => Self::of(self.as_ratio() - other.as_ratio()),
        }
    }
}

impl Mul<i64> for Time {
    type Output = Self;
    fn mul(self, by: i64) -> Self {
        match self.halvings().zip(self.numerator().checked_mul(by)) {
            Some((halvings, parts)) => Self::of_halvings(parts, halvings),
            None => Self::of(self.as_ratio() * by),
        }
    }
}

impl Mul<Ratio<i64>> for Time {
    type Output = Self;
    fn mul(self, by: Ratio<i64>) -> Self {
        // What stands in no tuplet is scaled by one.
        if by.numer() == by.denom() { self } else { Self::of(self.as_ratio() * by) }
    }
}

impl Div<i64> for Time {
    type Output = Self;
    fn div(self, by: i64) -> Self {
        let more = self.halvings().zip(halvings(by)).map(|(own, more)| own + more);
        match more.filter(|halvings| *halvings < MOST_HALVINGS) {
            Some(halvings) => Self::of_halvings(self.numerator(), halvings),
            None => Self::of(self.as_ratio() / if by == 0 { 1 } else { by }),
        }
    }
}

impl Sum for Time {
    fn sum<I: Iterator<Item = Self>>(times: I) -> Self {
        times.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::hash::{DefaultHasher, Hash, Hasher};

    fn hash(time: Time) -> u64 {
        let mut hasher = DefaultHasher::new();
        time.hash(&mut hasher);
        hasher.finish()
    }

    #[test]
    fn times_compare_as_ratios_do() {
        let most = i64::MAX;
        let numbers = [-most, -7, -1, 0, 1, 2, 3, 5, 8, most - 1, most];
        let parts = [1, 2, 3, 4, 12, 960, most - 1, most];
        let all = || numbers.iter().flat_map(|n| parts.iter().map(|d| Time::new(*n, *d)));
        for a in all() {
            for b in all() {
                assert_eq!(a.cmp(&b), a.as_ratio().cmp(&b.as_ratio()), "{a} and {b}");
                assert_eq!(a == b, a.as_ratio() == b.as_ratio(), "{a} and {b}");
                assert!(a != b || hash(a) == hash(b), "{a} and {b}");
            }
        }
    }

    #[test]
    fn times_add_up_as_ratios_do() {
        let numbers = [-1_i64 << 40, -7, -1, 0, 1, 2, 3, 5, 8, 1 << 40];
        let parts = [1, 2, 3, 4, 8, 12, 64, 96, 960, 1 << 20];
        let all = || numbers.iter().flat_map(|n| parts.iter().map(|d| Time::new(*n, *d)));
        for a in all() {
            for b in all() {
                assert_eq!((a + b).as_ratio(), a.as_ratio() + b.as_ratio(), "{a} and {b}");
                assert_eq!((a - b).as_ratio(), a.as_ratio() - b.as_ratio(), "{a} and {b}");
                let same = Time::new((a + b).numerator(), (a + b).denominator());
                assert_eq!((a + b).numerator(), same.numerator(), "in lowest terms");
            }
        }
    }

    #[test]
    fn times_are_multiplied_and_parted_as_ratios_are() {
        let numbers = [-1_i64 << 40, -7, -1, 0, 1, 2, 3, 5, 8, 96, 1 << 40];
        let parts = [-8, -1, 1, 2, 3, 4, 8, 12, 64, 96, 960, 1 << 20, 1 << 40];
        let all = || numbers.iter().flat_map(|n| parts.iter().map(|d| (*n, *d)));
        for (n, d) in all() {
            let (time, ratio) = (Time::new(n, d), Ratio::new(n, d));
            assert_eq!((time.numerator(), time.denominator()), (*ratio.numer(), *ratio.denom()));
            for by in [-96, -1, 0, 1, 2, 3, 4, 7, 8, 1 << 20] {
                assert_eq!((time * by).as_ratio(), ratio * by, "{time} by {by}");
                if by != 0 {
                    assert_eq!((time / by).as_ratio(), ratio / by, "{time} in {by}");
                }
            }
            for (n, d) in [(1, 1), (2, 3), (3, 2), (-1, 4), (0, 1)] {
                let by = Ratio::new(n, d);
                assert_eq!((time * by).as_ratio(), ratio * by, "{time} by {by}");
            }
            for (n, d) in [(1, 1), (1, 2), (1, 96), (3, 4), (-1, 8), (5, 12), (1, 1 << 20)] {
                let wanted = ratio / Ratio::new(n, d);
                assert_eq!(time.ratio(Time::new(n, d)), wanted, "{time} by {n}/{d}");
            }
            assert_eq!(time.ratio(Time::ZERO), Ratio::new(0, 1));
        }
    }

    #[test]
    fn a_time_that_may_be_missing_takes_no_more_room() {
        assert_eq!(size_of::<Option<Time>>(), size_of::<Time>());
    }

    #[test]
    fn a_multiple_divides_without_a_rest() {
        let eighth = Time::EIGHTH;
        assert!(Time::new(3, 4).is_multiple_of(eighth));
        assert!(!Time::new(1, 12).is_multiple_of(eighth));
        assert!(Time::ZERO.is_multiple_of(eighth));
        assert!(Time::WHOLE.is_multiple_of(Time::ZERO), "zero goes into all");
    }
}

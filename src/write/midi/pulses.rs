//! How many pulses a quarter has, and exact times in them.

use crate::score::Time;
use std::collections::BTreeMap;

/// Pulses of a quarter where all is halves, thirds and fifths of usual notes. Common practice, no source.
const LEAST: u16 = 960;
/// The most times that fits the 15 bits of the format.
const MOST_TIMES: u16 = 0x7FFF / LEAST;
/// Pulses of a whole file: readers count them in 31 bits. Common practice, no source.
const MOST: f64 = 0x7FFF_FFFF_u32 as f64;

/// A moment in pulses from the start of the file.
pub type Pulse = u32;

/// How often each denominator comes up among times that are to be whole pulses, in whole notes.
#[derive(Debug, Default)]
pub struct Denominators(BTreeMap<i64, u64>);

impl Denominators {
    /// Counts a time.
    pub fn add(&mut self, time: Time) {
        *self.0.entry(time.denominator()).or_default() += 1;
    }

    /// How many times are whole where a quarter has so many pulses.
    fn whole(&self, pulses: u16) -> u64 {
        let of_whole = i64::from(pulses) * 4;
        self.0.iter().filter(|(d, _)| of_whole % **d == 0).map(|(_, count)| count).sum()
    }
}

/// How many pulses a quarter has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pulses(u16);

impl Pulses {
    /// The fewest that make all times whole, else the most that make as many of them whole as any; nothing
    /// where music of a length in quarters has too many of them.
    pub fn of(times: &Denominators, quarters: f64) -> Option<Self> {
        let all: u64 = times.0.values().sum();
        let fits = |pulses: &u16| quarters * f64::from(*pulses) <= MOST;
        let choice = || (1..=MOST_TIMES).map(|n| LEAST * n).filter(fits);
        let exact = choice().find(|pulses| times.whole(*pulses) == all);
        // The last of those that are as good.
        exact.or_else(|| choice().max_by_key(|pulses| times.whole(*pulses))).map(Self)
    }

    /// The number.
    pub fn in_quarter(self) -> u16 {
        self.0
    }

    /// The pulse nearest to a time, later of two; times before zero are zero.
    pub fn at(self, time: Time) -> Pulse {
        let (over, under) = (i128::from(time.numerator()), i128::from(time.denominator()));
        let twice = over * 8 * i128::from(self.0) + under;
        Pulse::try_from(twice.div_euclid(under * 2).max(0)).unwrap_or(Pulse::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulses(times: &[(i64, i64)]) -> Pulses {
        let mut found = Denominators::default();
        times.iter().for_each(|(n, d)| found.add(Time::new(*n, *d)));
        Pulses::of(&found, 1000.0).expect("they fit")
    }

    /// 960 is 2^6 * 3 * 5 to a quarter: it has no seventh and no ninth. Seven times 960 is 6720.
    #[test]
    fn a_quarter_has_as_many_as_make_all_times_whole() {
        assert_eq!(pulses(&[]).in_quarter(), 960);
        assert_eq!(pulses(&[(1, 4), (1, 12), (1, 256), (3, 20)]).in_quarter(), 960);
        assert_eq!(pulses(&[(1, 28)]).in_quarter(), 960 * 7);
        assert_eq!(pulses(&[(1, 36), (1, 28)]).in_quarter(), 960 * 3 * 7);
        assert_eq!(pulses(&[(1, 28)]).at(Time::new(1, 28)), 960);
    }

    /// Sevenths and elevenths would need 77 times 960, which is 73,920. Two of three are sevenths: 28 times
    /// is the most that has them.
    #[test]
    fn where_none_fits_the_most_times_are_whole() {
        let most = pulses(&[(1, 28), (3, 28), (1, 44)]);
        assert_eq!(most.in_quarter(), 960 * 28);
        // 4 * 26880 / 44 is 2443.6.
        assert_eq!(most.at(Time::new(1, 44)), 2444);
        assert_eq!(pulses(&[(1, 4 * 37)]).in_quarter(), 960 * 34);
    }

    /// A number that is half as large or less could be doubled: so the least is 18 times 960, and half of
    /// one of those is 1/34,560 of a quarter.
    #[test]
    fn what_is_not_whole_is_off_by_a_stated_share_of_a_quarter() {
        for odd in (3..200).step_by(2) {
            for other in (3..200).step_by(2) {
                let found = pulses(&[(1, 4 * odd), (1, 4 * other)]);
                for d in [odd, other] {
                    let time = Time::new(1, 4 * d);
                    let whole = f64::from(found.in_quarter());
                    let off = (f64::from(found.at(time)) - whole / d as f64).abs() / whole;
                    assert!(off <= 1.0 / 34_560.0, "{odd} {other}: {off}");
                }
            }
        }
    }

    #[test]
    fn long_music_has_fewer_of_them_and_too_long_music_none() {
        let mut sevenths = Denominators::default();
        sevenths.add(Time::new(1, 28));
        let of = |quarters| Pulses::of(&sevenths, quarters).map(Pulses::in_quarter);
        assert_eq!(of(300_000.0), Some(960 * 7));
        assert_eq!(of(2_000_000.0), Some(960));
        assert_eq!(of(2_237_000.0), None);
    }
}

//! Grace notes and rolls as strokes of their own.

use crate::score::{Hand, Hit, Time};
use num_rational::Ratio;
use smallvec::{SmallVec, smallvec};

/// The value of which slashes make a roll is a quarter at most: a half with two slashes has
/// sixteenths, as a quarter has (Gould, *Behind Bars*, "Tremolos", from memory).
const LONGEST: Time = Time::QUARTER;

/// The strokes of a hit of some length, from its onset: one, or those of a measured roll.
pub(super) fn strokes(hit: &Hit, length: Time) -> SmallVec<[Time; 1]> {
    if hit.strokes == 0 || hit.buzz || length <= Time::ZERO {
        return smallvec![Time::ZERO];
    }
    let unit = roll_unit(length, hit.strokes);
    let count = length.ratio(unit).ceil().to_integer().max(1);
    (0..count).map(|n| unit * n).collect()
}

/// How long one stroke of a roll is: the written value, a quarter at most, halved once for each
/// slash.
fn roll_unit(length: Time, slashes: u8) -> Time {
    // A note of a tuplet is written as the plain one that is as much longer as the tuplet is faster.
    let odd = odd_part(length.denominator());
    let plain = Ratio::new(odd, power_of_two_up_to(odd));
    let written = length * plain;
    let mut value = LONGEST;
    while value > written {
        value = value / 2;
    }
    value * plain.recip() / (1 << i64::from(slashes.min(3)))
}

/// What is left of a number without its factors of two.
fn odd_part(number: i64) -> i64 {
    let number = number.max(1);
    number >> number.trailing_zeros()
}

/// The largest power of two that is no larger than a number.
fn power_of_two_up_to(number: i64) -> i64 {
    1 << number.max(1).ilog2()
}

/// The hand of a stroke of a roll: a diddle stays in one hand; in a longer roll each hand has two in
/// turn.
pub(super) fn roll_hand(hand: Option<Hand>, slashes: u8, stroke: usize) -> Option<Hand> {
    let hand = hand?;
    let turned = slashes > 1 && stroke / 2 % 2 == 1;
    Some(if turned { hand.other() } else { hand })
}

#[cfg(test)]
mod tests {
    use super::roll_unit;
    use crate::score::Time;

    /// Strokes and flags together give the value that is played (Gould, *Behind Bars*, "Tremolos",
    /// from memory).
    #[test]
    fn slashes_halve_the_written_value() {
        for (length, slashes, unit) in [
            ((1, 4), 1, (1, 8)),
            ((1, 4), 3, (1, 32)),
            ((1, 8), 1, (1, 16)),
            ((1, 16), 2, (1, 64)),
            ((1, 2), 3, (1, 32)),
            ((1, 1), 2, (1, 16)),
            // A dotted eighth has three sixteenths, a dotted quarter twelve thirty-seconds.
            ((3, 16), 1, (1, 16)),
            ((3, 8), 3, (1, 32)),
            // Eighths of a triplet, sixteenths of a quintuplet.
            ((1, 12), 1, (1, 24)),
            ((1, 20), 1, (1, 40)),
        ] {
            let time = |(n, d)| Time::new(n, d);
            assert_eq!(roll_unit(time(length), slashes), time(unit), "{length:?} {slashes}");
        }
    }
}

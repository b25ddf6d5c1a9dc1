//! The keys of practice: what they set, and what may be written.

use super::key_values::{Read, for_music};
use crate::score::practice::PracticeStep;
use crate::syntax::values::practice;
use std::sync::Arc;

/// What is heard, step by step.
pub(super) fn steps(value: &str) -> Read {
    let steps = practice::steps(value).ok_or(
        "write what is heard, step by step: `alone`, `in context` or `silence`, how fast, as `slow` or `at 80`, and how often, as in `alone x2, silence x2, slow x4`",
    )?;
    for_music(Arc::<[PracticeStep]>::from(steps), |s, steps| s.practice.steps = steps)
}

/// What clicks under it.
pub(super) fn click(value: &str) -> Read {
    let click = practice::click(value).ok_or(
        "write `none`, `bars`, `beats`, some beats as `beats 2 4`, or `eighths`, `triplets`, `sixteenths`; `, silent 1 bar of 4` may follow",
    )?;
    for_music(click, |s, click| s.practice.click = click)
}

/// How many bars are counted in.
pub(super) fn count_in(value: &str) -> Read {
    let bars = practice::count_in(value)
        .ok_or("write how many bars are counted in, from `1 bar` to `4 bars`, or `none`")?;
    for_music(bars, |s, bars| s.practice.count_in = bars)
}

/// How far strokes stray from their time.
pub(super) fn looseness(value: &str) -> Read {
    let stray = practice::looseness(value)
        .ok_or("write how far strokes may stray, from 1 to 30 ms, such as `8 ms`, or `none`")?;
    for_music(stray, |s, stray| s.practice.looseness = stray)
}

/// What lies between a grace note and what follows it.
pub(super) fn spread(value: &str) -> Read {
    let spread = practice::spread(value)
        .ok_or("write what lies between grace notes, from 5 to 100 ms, such as `30 ms`")?;
    for_music(spread, |s, spread| s.grace_spread = spread)
}

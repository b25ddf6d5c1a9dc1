//! Which notes share a beam where a key says so.

use super::codes;
use super::misfit::meter_word;
use super::rows::PlannedSet;
use super::setup::Setup;
use crate::score::meter::MeterKind;
use crate::score::{Meter, Time};
use crate::source::{Diagnostics, Span, say};
use crate::syntax::values::beams::WrittenBeams;
use std::sync::Arc;

/// What the numbers of a grouping count: notes of the lower number, halves of them, or quarters of them;
/// the first that adds up to the bar.
const FINENESS: [i64; 3] = [1, 2, 4];

/// The groups under one beam in the bars of a time signature, where a key says them and they fill a bar;
/// where nothing is given back, beams follow the beats.
pub(crate) fn groups(setup: &Setup, meter: &Meter) -> Option<Arc<[Time]>> {
    let (beams, _) = setup.beams.as_ref()?;
    match beams {
        WrittenBeams::Beats => None,
        WrittenBeams::Length(length) => Some(of_length(*length, meter.length()).into()),
        WrittenBeams::Groups(numbers) => of_numbers(numbers, meter).map(Into::into),
    }
}

/// Groups of one length, the last of them with what is left of the bar.
fn of_length(length: Time, bar: Time) -> Vec<Time> {
    let mut groups = Vec::new();
    let mut left = bar;
    while left > Time::ZERO && length > Time::ZERO {
        groups.push(length.min(left));
        left = left - length.min(left);
    }
    groups
}

fn of_numbers(numbers: &[u32], meter: &Meter) -> Option<Vec<Time>> {
    let sum: i64 = numbers.iter().map(|n| i64::from(*n)).sum();
    let unit = FINENESS
        .iter()
        .map(|parts| meter.unit() / *parts)
        .find(|unit| *unit * sum == meter.length())?;
    Some(numbers.iter().map(|n| unit * i64::from(*n)).collect())
}

/// Reports groups that do not add up to the bars of the set that says them. Those of a header hold where they
/// fit.
pub(crate) fn check(set: &PlannedSet<'_>, diagnostics: &mut Diagnostics) {
    if set.has("beams") {
        check_bar(&set.setup, None, diagnostics);
    }
}

/// Reports groups that a block says and that do not add up to its bars, at their line or at another place.
pub(crate) fn check_bar(setup: &Setup, elsewhere: Option<Span>, diagnostics: &mut Diagnostics) {
    let Some((WrittenBeams::Groups(numbers), Some(span))) = &setup.beams else { return };
    let meter = &setup.meter;
    if groups(setup, meter).is_some() {
        return;
    }
    let span = elsewhere.as_ref().unwrap_or(span);
    let written: Vec<String> = numbers.iter().map(u32::to_string).collect();
    let written = written.join("+");
    let fault = if meter.kind == MeterKind::Unmetered {
        let message =
            format!("`beams: {written}` needs a bar to add up to, and `time: none` has none");
        diagnostics.error(*span, message)
    } else {
        let bar = meter_word(meter);
        diagnostics.error(*span, format!("`beams: {written}` does not add up to a bar of {bar}"))
    };
    fault.code(codes::BEAMS_MISFIT).mend(mend(meter));
}

fn mend(meter: &Meter) -> String {
    if meter.kind == MeterKind::Unmetered {
        return "write how long a group is, as `beams: 1/2`".to_owned();
    }
    let sums = FINENESS.map(|parts| meter.length().ratio(meter.unit() / parts).to_integer());
    let sums = sums.map(|sum| sum.to_string());
    format!(
        "write groups that add up to {}, or how long a group is, as `beams: 1/2`",
        say::choice_of_numbers(&sums)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_the_coarsest_notes_that_fill_the_bar() {
        let four = Meter::four_four();
        let eighths = |all: &[i64]| -> Option<Vec<Time>> {
            Some(all.iter().map(|n| Time::new(*n, 8)).collect())
        };
        assert_eq!(of_numbers(&[3, 3, 2], &four), eighths(&[3, 3, 2]));
        assert_eq!(of_numbers(&[1, 3], &four), eighths(&[2, 6]));
        assert_eq!(of_numbers(&[8, 8], &four), eighths(&[4, 4]));
        assert_eq!(of_numbers(&[3, 3], &four), None);
        assert_eq!(of_length(Time::new(1, 2), Time::new(3, 4)), [Time::new(1, 2), Time::QUARTER]);
    }
}

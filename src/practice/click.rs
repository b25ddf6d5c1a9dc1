//! Which moments of a bar click.

use crate::score::practice::{Click, ClickOn};
use crate::score::{Bar, Meter, Time};
use crate::sound::ClickKind;

/// The beats of a time signature from the start of its full bar, each with its number from 1.
fn beats(meter: &Meter) -> impl Iterator<Item = (u32, Time)> {
    let mut at = Time::ZERO;
    meter.beats().into_iter().zip(1..).map(move |(length, number)| {
        let start = at;
        at += length;
        (number, start)
    })
}

fn kind(number: u32) -> ClickKind {
    if number == 1 { ClickKind::Accent } else { ClickKind::Beat }
}

/// What clicks in a full bar that is counted in: each beat, the first one louder.
pub(super) fn counted(meter: &Meter) -> Vec<(Time, ClickKind)> {
    beats(meter).map(|(number, at)| (at, kind(number))).collect()
}

/// What clicks in a bar, by written time from its start.
pub(super) fn clicks(bar: &Bar, on: &ClickOn) -> Vec<(Time, ClickKind)> {
    let full = in_full_bar(&bar.meter, on);
    let end = bar.offset + bar.length;
    let inside = full.into_iter().filter(|(at, _)| (bar.offset..end).contains(at));
    inside.map(|(at, kind)| (at - bar.offset, kind)).collect()
}

fn in_full_bar(meter: &Meter, on: &ClickOn) -> Vec<(Time, ClickKind)> {
    match on {
        ClickOn::Never => Vec::new(),
        ClickOn::Bars => vec![(Time::ZERO, ClickKind::Accent)],
        ClickOn::Beats => counted(meter),
        ClickOn::Some(wanted) => {
            let own = counted(meter).into_iter().zip(1..);
            own.filter(|(_, number)| wanted.contains(number)).map(|(click, _)| click).collect()
        }
        ClickOn::Parts(parts) => {
            let between = match parts {
                // Eighths and sixteenths are note values, whatever the beat.
                2 | 4 => every(Time::new(1, 4 * i64::from(*parts)), meter.length()),
                _ => thirds(meter),
            };
            let mut all = counted(meter);
            let is_beat = |at: &Time| all.iter().any(|(own, _)| own == at);
            let softly: Vec<(Time, ClickKind)> = between
                .into_iter()
                .filter(|at| !is_beat(at))
                .map(|at| (at, ClickKind::Subdivision))
                .collect();
            all.extend(softly);
            all.sort_by_key(|(at, _)| *at);
            all
        }
    }
}

/// Every so often up to an end.
fn every(unit: Time, end: Time) -> Vec<Time> {
    let count = end.ratio(unit).ceil().to_integer().max(0);
    (0..count).map(|n| unit * n).collect()
}

/// The thirds of each beat.
fn thirds(meter: &Meter) -> Vec<Time> {
    let mut at = Time::ZERO;
    let mut thirds = Vec::new();
    for length in meter.beats() {
        thirds.extend((0..3).map(|n| at + length / 3 * n));
        at += length;
    }
    thirds
}

/// Whether a bar clicks, by its number in its step from 0.
pub(super) fn is_heard(click: &Click, bar: usize) -> bool {
    let Some((silent, of)) = click.silent else { return true };
    let place = u32::try_from(bar % (of.max(1) as usize)).unwrap_or(0);
    place < of.saturating_sub(silent)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::meter::{MeterKind, MeterSign};
    use std::sync::Arc;

    fn told(meter: &Meter, on: &ClickOn) -> String {
        let sign = |(at, kind): (Time, ClickKind)| {
            let letter = match kind {
                ClickKind::Accent => "A",
                ClickKind::Beat => "B",
                ClickKind::Subdivision => "s",
            };
            format!("{letter}{at}")
        };
        in_full_bar(meter, on).into_iter().map(sign).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn clicks_fall_on_beats_and_between_them() {
        let four = Meter::four_four();
        assert_eq!(told(&four, &ClickOn::Beats), "A0/1 B1/4 B1/2 B3/4");
        assert_eq!(told(&four, &ClickOn::Bars), "A0/1");
        assert_eq!(told(&four, &ClickOn::Some(Arc::from([2, 4]))), "B1/4 B3/4");
        assert_eq!(told(&four, &ClickOn::Parts(2)), "A0/1 s1/8 B1/4 s3/8 B1/2 s5/8 B3/4 s7/8");
        let sign = MeterSign::Numbers;
        let six = Meter { upper: vec![6], lower: 8, kind: MeterKind::Compound, sign };
        assert_eq!(told(&six, &ClickOn::Beats), "A0/1 B3/8");
        assert_eq!(told(&six, &ClickOn::Parts(2)), "A0/1 s1/8 s1/4 B3/8 s1/2 s5/8");
        let odd = Meter { upper: vec![2, 3], lower: 8, kind: MeterKind::Additive, sign };
        assert_eq!(told(&odd, &ClickOn::Beats), "A0/1 B1/4");
        let two = Meter { upper: vec![2], lower: 4, kind: MeterKind::Simple, sign };
        assert_eq!(told(&two, &ClickOn::Parts(3)), "A0/1 s1/12 s1/6 B1/4 s1/3 s5/12");
    }

    #[test]
    fn the_last_bars_of_so_many_are_silent() {
        let click = Click { on: ClickOn::Beats, silent: Some((2, 8)) };
        let heard: Vec<bool> = (0..9).map(|bar| is_heard(&click, bar)).collect();
        assert_eq!(heard, [true, true, true, true, true, true, false, false, true]);
    }
}

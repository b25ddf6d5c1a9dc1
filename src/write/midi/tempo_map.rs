//! The tempo of the whole file in pulses.

use super::pulses::{Pulse, Pulses};
use crate::write::error::WriteError;

/// Microseconds of a quarter that the 24 bits of the format hold.
const MICROSECONDS: std::ops::RangeInclusive<f64> = 1.0..=16_777_215.0;

/// A tempo from some pulse on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TempoEvent {
    /// When.
    pub at: Pulse,
    /// Microseconds of a quarter.
    pub microseconds: u32,
}

/// The tempo of what is written so far, by time.
#[derive(Debug)]
pub struct TempoMap {
    pulses: Pulses,
    events: Vec<TempoEvent>,
}

impl TempoMap {
    /// No tempo.
    pub fn new(pulses: Pulses) -> Self {
        Self { pulses, events: Vec::new() }
    }

    /// All of it.
    pub fn events(&self) -> &[TempoEvent] {
        &self.events
    }

    /// Goes on with a tempo in seconds of a whole note from a pulse on, none earlier than those before.
    pub fn add(&mut self, at: Pulse, whole: f64) -> Result<(), WriteError> {
        let microseconds = (whole * 250_000.0).round();
        if !MICROSECONDS.contains(&microseconds) {
            return Err(WriteError(format!(
                "a quarter of {} seconds is more than a MIDI file can tell: it may be from 0.000001 to 16.7",
                whole / 4.0
            )));
        }
        let event = TempoEvent { at, microseconds: microseconds as u32 };
        if self.events.last().is_some_and(|last| last.at == at) {
            self.events.pop();
        }
        if self.events.last().is_none_or(|last| last.microseconds != event.microseconds) {
            self.events.push(event);
        }
        Ok(())
    }

    /// The pulse nearest to some seconds before another; zero where there are not so many.
    pub fn before(&self, at: Pulse, seconds: f64) -> Pulse {
        let mut left = seconds * 1_000_000.0;
        let mut until = at;
        let in_quarter = f64::from(self.pulses.in_quarter());
        let known = self.events.partition_point(|event| event.at < at);
        for event in self.events.iter().take(known).rev() {
            let pulse = f64::from(event.microseconds) / in_quarter;
            let here = f64::from(until - event.at) * pulse;
            if here >= left {
                return until - (left / pulse).round() as Pulse;
            }
            left -= here;
            until = event.at;
        }
        until
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::write::midi::pulses::Denominators;

    fn map(events: &[(Pulse, f64)]) -> TempoMap {
        let pulses = Pulses::of(&Denominators::default(), 1.0).expect("they fit");
        let mut map = TempoMap::new(pulses);
        events.iter().for_each(|(at, whole)| map.add(*at, *whole).expect("a tempo"));
        map
    }

    /// At 120 a pulse of 960 lasts 0.5 s / 960 = 0.521 ms, so that 0.03 s are 57.6 of them; at 60 they are
    /// 28.8. From 10 pulses after a change from 60 to 120 it is 10 * 0.521 = 5.208 ms to the change, and the
    /// 24.792 ms left are 23.8 pulses of 1.042 ms.
    #[test]
    fn seconds_go_back_through_the_tempo() {
        let map = map(&[(0, 4.0), (1920, 2.0)]);
        assert_eq!(map.before(3840, 0.03), 3840 - 58);
        assert_eq!(map.before(1920, 0.03), 1920 - 29);
        assert_eq!(map.before(1930, 0.03), 1920 - 24);
        assert_eq!(map.before(5, 0.03), 0);
    }

    #[test]
    fn a_tempo_at_the_same_pulse_takes_the_place_of_the_one_before() {
        let events = |events: &[(Pulse, f64)]| -> Vec<(Pulse, u32)> {
            map(events).events().iter().map(|event| (event.at, event.microseconds)).collect()
        };
        assert_eq!(events(&[(0, 2.0), (10, 4.0), (10, 2.0)]), [(0, 500_000)]);
        assert_eq!(events(&[(0, 2.0), (0, 4.0)]), [(0, 1_000_000)]);
    }

    #[test]
    fn what_24_bits_do_not_hold_is_an_error() {
        let pulses = Pulses::of(&Denominators::default(), 1.0).expect("they fit");
        let add = |whole| TempoMap::new(pulses).add(0, whole);
        add(67.1).expect("16.775 seconds a quarter");
        add(67.2).expect_err("16.8 seconds a quarter");
        add(1e-6).expect_err("a quarter of a microsecond");
        add(f64::NAN).expect_err("no number");
    }
}

//! Time signatures as the format has them: two numbers, the lower one a power of two.

use crate::score::meter::MeterKind;
use crate::score::{Bar, Time};
use midly::MetaMessage;

/// The largest lower number: a written signature has none above it.
const SHORTEST: u32 = 64;
/// Clocks of a whole note, of which a quarter has 24 (*Standard MIDI Files 1.0*, from memory).
const CLOCKS: i64 = 96;
/// Thirty-seconds in a quarter, which the format asks for.
const THIRTY_SECONDS: u8 = 8;

/// A time signature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Signature {
    /// The upper number.
    upper: u8,
    /// The lower number.
    lower: u32,
    /// Clocks of a click of the metronome.
    clocks: u8,
}

impl Signature {
    /// The signature of a bar: that of its metre, whose groups are added up; of a bar of another length, as a
    /// pickup or one without a time signature, its length. Nothing where no signature has that length.
    pub fn of(bar: &Bar) -> Option<Self> {
        let measured = bar.meter.is_measured();
        let first = if measured { bar.meter.lower } else { 4 };
        let mut lower = first.clamp(1, SHORTEST);
        let upper = loop {
            let units = bar.length * i64::from(lower);
            if units.denominator() == 1 {
                break u8::try_from(units.numerator()).ok().filter(|units| *units > 0)?;
            }
            if lower >= SHORTEST {
                return None;
            }
            lower *= 2;
        };
        let beat = match bar.meter.kind {
            MeterKind::Compound => bar.meter.unit() * 3,
            MeterKind::Simple | MeterKind::Additive => bar.meter.unit(),
            MeterKind::Unmetered => Time::QUARTER,
        };
        let beat = beat * CLOCKS;
        let clocks = beat.numerator() / beat.denominator();
        Some(Self { upper, lower, clocks: u8::try_from(clocks.max(1)).unwrap_or(u8::MAX) })
    }

    /// Counted in quarters, which stands where a bar has a length that no signature has.
    pub fn quarters() -> Self {
        Self { upper: 1, lower: 4, clocks: 24 }
    }

    /// As an event.
    pub fn message(self) -> MetaMessage<'static> {
        // The format has the power of two.
        let power = self.lower.trailing_zeros() as u8;
        MetaMessage::TimeSignature(self.upper, power, self.clocks, THIRTY_SECONDS)
    }
}

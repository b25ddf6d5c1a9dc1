//! Values as they are written turned into what they mean: time signatures with their beats, tempos
//! under a time signature.

use crate::score::Meter;
use crate::score::meter::{MeterKind, MeterSign};
use crate::score::settings::{Swing, Tempo};
use crate::syntax::values::swing::WrittenSwing;
use crate::syntax::values::tempo::WrittenTempo;
use crate::syntax::values::time::TimeSignature;

/// The meter of a time signature. A single upper number that three divides makes a compound one,
/// where its beats are dotted eighths or shorter, or dotted quarters and halves up to twelve of the
/// lower number; common practice, no source.
pub(crate) fn meter(text: &str) -> Option<Meter> {
    let TimeSignature { upper, lower, sign } = TimeSignature::read(text)?;
    let kind = match (sign, upper.as_slice()) {
        (MeterSign::Common | MeterSign::Cut, _) => MeterKind::Simple,
        (MeterSign::Unprinted, _) => MeterKind::Unmetered,
        (MeterSign::Numbers, [n])
            if *n > 3 && n % 3 == 0 && lower >= 4 && (lower > 4 || *n <= 12) =>
        {
            MeterKind::Compound
        }
        (MeterSign::Numbers, [_]) => MeterKind::Simple,
        (MeterSign::Numbers, _) => MeterKind::Additive,
    };
    Some(Meter { upper, lower, kind, sign })
}

/// The metronome mark of a tempo under a time signature.
pub(crate) fn metronome(tempo: &WrittenTempo, meter: &Meter) -> Tempo {
    let plain = Tempo::for_meter(meter, tempo.per_minute);
    Tempo {
        unit: tempo.unit.unwrap_or(plain.unit),
        up_to: tempo.up_to,
        words: tempo.words.clone(),
        printed: tempo.printed,
        ..plain
    }
}

/// The swing of a feel; nothing where it is straight.
pub(crate) fn swing(feel: WrittenSwing) -> Option<Swing> {
    match feel {
        WrittenSwing::Straight => None,
        WrittenSwing::Swung(swing) => Some(swing),
    }
}

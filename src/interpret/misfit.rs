//! Bars that do not add up, and barlines that do not agree.

use crate::interpret::bars::RawBar;
use crate::interpret::break_up::Spreads;
use crate::interpret::flow::BarDraft;
use crate::interpret::ruler::{Extent, Ruler};
use crate::score::Closing;
use crate::score::Meter;
use crate::score::meter::MeterKind;
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::BarSign;

/// What a beat of a time signature is called in a message.
pub(crate) fn beat_word(meter: &Meter) -> &'static str {
    if meter.kind == MeterKind::Additive { "group" } else { "beat" }
}

/// A time signature as it is written.
pub(crate) fn meter_word(meter: &Meter) -> String {
    let upper: Vec<String> = meter.upper.iter().map(u32::to_string).collect();
    format!("{}/{}", upper.join("+"), meter.lower)
}

/// Takes the sign of one more row for a barline.
pub(crate) fn close(
    closing: &mut Closing,
    sign: BarSign,
    span: Span,
    diagnostics: &mut Diagnostics,
) {
    let own = match sign {
        BarSign::Single | BarSign::RepeatStart => return,
        BarSign::Double => Closing::Double,
        BarSign::RepeatEnd { times, counted } | BarSign::RepeatBoth { times, counted } => {
            Closing::Repeat { times, counted }
        }
    };
    match (*closing, own) {
        (Closing::Repeat { times, .. }, Closing::Repeat { times: other, counted }) => {
            if times != other {
                diagnostics
                    .warning(span, "the rows do not agree how often this is played".to_owned())
                    .mend("write the number on one row only");
            }
            if counted {
                *closing = own;
            }
        }
        (Closing::Repeat { .. }, _) => {}
        _ => *closing = own,
    }
}

/// A row's bar that its groups do not fill.
pub(crate) struct Misfit<'m, 'a, T> {
    pub(crate) place: RowBar<'m>,
    pub(crate) meter: &'m Meter,
    pub(crate) ruler: &'m Ruler,
    pub(crate) draft: &'m BarDraft,
    pub(crate) raw: &'m RawBar<'a, T>,
    pub(crate) lots: &'m [Extent],
}

impl<T: Spreads> Misfit<'_, '_, T> {
    pub(crate) fn report(&self, diagnostics: &mut Diagnostics) {
        let Some(last) = self.lots.last() else { return };
        let thing = beat_word(self.meter);
        let start = self.ruler.beats_before(self.draft.offset);
        let have = self.ruler.beats_before(last.end) - start;
        let end = self.ruler.beats_before(self.draft.end());
        let wanted = end - start;
        let whole = self.draft.length == self.meter.length();
        let bar = if whole {
            format!("a bar of {}", meter_word(self.meter))
        } else {
            format!("a short bar of {}", self.draft.length)
        };
        let head = format!("{}: {} in {bar}", self.place, say::beats(have, thing));
        let spans: Vec<Span> = self.raw.groups.iter().map(|g| g.span()).collect();
        if have < wanted {
            let missing = wanted - have;
            let verb = if missing > 1.into() { "are" } else { "is" };
            let span = spans.last().copied().unwrap_or(self.raw.span);
            diagnostics
                .error(span, format!("{head}; {} {verb} missing", say::beats(missing, thing)))
                .mend(with_group_hint(format!("add `.` for each silent {thing}"), self.meter));
            return;
        }
        let over: Vec<Span> = self
            .lots
            .iter()
            .zip(&spans)
            .filter(|(lot, _)| lot.end > self.draft.end())
            .map(|(_, span)| *span)
            .collect();
        let Some(first) = over.first() else { return };
        let span = over.iter().fold(*first, |all, s| all.join(*s));
        let exact = have - wanted == (over.len() as i64).into();
        let what = match (exact, over.len()) {
            (true, 1) => "the last group is one too many".to_owned(),
            (true, n) => format!("the last {} groups are too many", say::number(n)),
            (false, 1) => format!(
                "the last group runs past the barline by {}",
                say::beats(have - wanted, thing)
            ),
            (false, n) => format!(
                "the last {} groups run past the barline by {}",
                say::number(n),
                say::beats(have - wanted, thing)
            ),
        };
        diagnostics.error(span, format!("{head}; {what}")).mend(with_group_hint(
            match over.len() {
                1 => "take it out, or put a `|` where the new bar begins".to_owned(),
                _ => "take them out, or put a `|` where the new bar begins".to_owned(),
            },
            self.meter,
        ));
    }
}

/// A mend, with what a group is where it is no plain beat.
pub(crate) fn with_group_hint(mend: String, meter: &Meter) -> String {
    let word = meter_word(meter);
    match meter.kind {
        MeterKind::Simple => mend,
        MeterKind::Compound => format!(
            "{mend}; in {word} each group between spaces is a dotted beat, and `sss` three notes of it"
        ),
        MeterKind::Additive => {
            format!("{mend}; a group of cells is one of the written groups of {word}")
        }
    }
}

//! Bars that do not add up, and barlines that do not agree.

use crate::interpret::bar_draft::BarDraft;
use crate::interpret::bars::{RawBar, Spreads};
use crate::interpret::codes;
use crate::interpret::ruler::{Extent, Ruler};
use crate::score::Closing;
use crate::score::Meter;
use crate::score::meter::MeterKind;
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Edit, Span};
use crate::syntax::tree::BarSign;
use num_rational::Ratio;

/// Fewest cells of a beat that a group of several beats is taken apart into: a group of four letters may
/// be one beat of sixteenths as well as four of quarters.
const LEAST_CELLS: usize = 2;

/// What a barline is, said where it was taken for the end of a beat.
const LINES: &str = "`|` only parts bars, and spaces part the beats";

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
                    .warning(span, "the rows do not agree how often this is played")
                    .code(codes::REPEATS_DIFFER)
                    .mend("write the number on one row only");
            }
            if counted {
                *closing = own;
            }
        }
        (Closing::Repeat { .. }, Closing::Single | Closing::Double) => {}
        (Closing::Single | Closing::Double, _) => *closing = own,
    }
}

/// A row's bar that its groups do not fill.
pub(crate) struct Misfit<'m, 'a, T> {
    pub(crate) place: RowBar<'m>,
    pub(crate) meter: &'m Meter,
    pub(crate) ruler: &'m Ruler,
    pub(crate) draft: &'m BarDraft,
    pub(crate) raw: &'m RawBar<'a, T>,
    pub(crate) extents: &'m [Extent],
}

impl<T: Spreads> Misfit<'_, '_, T> {
    pub(crate) fn report(&self, diagnostics: &mut Diagnostics) {
        let Some(last) = self.extents.last() else { return };
        let start = self.ruler.beats_before(self.draft.offset);
        let have = self.ruler.beats_before(last.end) - start;
        let wanted = self.ruler.beats_before(self.draft.end()) - start;
        let bar = if !self.meter.is_measured() {
            format!("a bar that another row fills with {}", say::beats(wanted, "beat"))
        } else if self.draft.length == self.meter.length() {
            format!("a bar of {}", meter_word(self.meter))
        } else {
            format!("a short bar of {}", self.draft.length)
        };
        let beats = say::beats(have, beat_word(self.meter));
        let head = format!("{}: {beats} in {bar}", self.place);
        if have < wanted {
            self.too_short(&head, wanted - have, diagnostics);
        } else {
            self.too_long(&head, have - wanted, diagnostics);
        }
    }

    fn too_short(&self, head: &str, missing: Ratio<i64>, diagnostics: &mut Diagnostics) {
        let thing = beat_word(self.meter);
        let verb = if missing > 1.into() { "are" } else { "is" };
        let span = self.raw.groups.last().map_or(self.raw.span, |group| group.span());
        let beats = say::beats(missing, thing);
        let mend = with_group_hint(format!("add `.` for each silent {thing}"), self.meter);
        let fault = diagnostics
            .error(span, format!("{head}; {beats} {verb} missing"))
            .code(codes::BAR_SHORT);
        let lines = self.takes_lines_for_beats();
        if let Some(fused) = self.fused(missing) {
            let one = if self.raw.framed { LINES } else { "one group is one beat" };
            let mend = format!("{one}; put spaces between: `{}`", say::shortened(&fused.text));
            fault.span = fused.span;
            fault.replace(fused.span, fused.text, mend);
            return;
        }
        let mend = if lines { format!("{LINES}; {mend}") } else { mend };
        match usize::try_from(missing.to_integer()) {
            Ok(beats) if missing.is_integer() => {
                fault.replace(Span::new(span.end(), span.end()), " .".repeat(beats), mend);
            }
            Ok(_) | Err(_) => fault.mend(mend),
        }
    }

    /// Whether the bar is one group between barlines, as in a table of cells.
    fn takes_lines_for_beats(&self) -> bool {
        let closed = self.raw.closing.as_ref().is_some_and(|sign| sign.value == BarSign::Single);
        match &*self.raw.groups {
            [one] => self.raw.framed || (closed && one.cells().len() >= LEAST_CELLS),
            [] | [_, ..] => self.raw.framed,
        }
    }

    /// The groups that hold several beats' worth of cells, taken apart, where that fills the bar that so
    /// many beats are missing from.
    fn fused(&self, missing: Ratio<i64>) -> Option<Edit> {
        let missing =
            usize::try_from(missing.to_integer()).ok().filter(|_| missing.is_integer())?;
        if self.meter.kind == MeterKind::Additive {
            return None;
        }
        let least = if self.raw.framed { 1 } else { LEAST_CELLS };
        let apart = |group: &T, beats: usize| {
            let cells = if group.spread().is_none() { group.cells() } else { Vec::new() };
            let each = cells.len() / beats;
            let even = each >= least && cells.len() == each * beats;
            let beat = |cells: &[String]| cells.concat();
            even.then(|| cells.chunks(each).map(beat).collect::<Vec<_>>().join(" "))
        };
        let groups = &self.raw.groups;
        let sizes: Vec<usize> = groups.iter().map(|group| group.cells().len()).collect();
        let most = sizes.iter().max()?;
        let mut longest = groups.iter().zip(&sizes).filter(|(_, size)| *size == most);
        if let (Some((group, _)), None) = (longest.next(), longest.next())
            && let Some(text) = apart(group, missing + 1)
        {
            return Some(Edit { span: group.span(), text });
        }
        let beats = 1 + missing / groups.len();
        let all =
            groups.iter().map(|group| apart(group, beats)).collect::<Option<Vec<String>>>()?;
        let span = groups.first()?.span().join(groups.last()?.span());
        (missing.is_multiple_of(groups.len())).then(|| Edit { span, text: all.join(" ") })
    }

    fn too_long(&self, head: &str, excess: Ratio<i64>, diagnostics: &mut Diagnostics) {
        let over: Vec<Span> = self
            .extents
            .iter()
            .zip(self.raw.groups.iter())
            .filter(|(extent, _)| extent.end > self.draft.end())
            .map(|(_, group)| group.span())
            .collect();
        let Some(first) = over.first() else { return };
        let span = over.iter().fold(*first, |all, s| all.join(*s));
        let exact = excess == (over.len() as i64).into();
        let beats = say::beats(excess, beat_word(self.meter));
        let what = match (exact, over.len()) {
            (true, 1) => "the last group is one too many".to_owned(),
            (true, n) => format!("the last {} groups are too many", say::number(n)),
            (false, 1) => format!("the last group runs past the barline by {beats}"),
            (false, n) => {
                format!("the last {} groups run past the barline by {beats}", say::number(n))
            }
        };
        let them = if over.len() == 1 { "it" } else { "them" };
        let mend = format!("take {them} out, or put a `|` where the new bar begins");
        let mend = with_group_hint(mend, self.meter);
        let fault = diagnostics.error(span, format!("{head}; {what}")).code(codes::BAR_LONG);
        if exact { fault.replace(span, "", mend) } else { fault.mend(mend) }
    }
}

/// A mend, with what a group is where it is no plain beat.
pub(crate) fn with_group_hint(mend: String, meter: &Meter) -> String {
    let word = meter_word(meter);
    match meter.kind {
        MeterKind::Simple | MeterKind::Unmetered => mend,
        MeterKind::Compound => format!(
            "{mend}; in {word} each group between spaces is a dotted beat, and `sss` three notes of it"
        ),
        MeterKind::Additive => {
            format!("{mend}; a group of cells is one of the written groups of {word}")
        }
    }
}

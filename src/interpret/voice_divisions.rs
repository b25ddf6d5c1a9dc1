//! How the beats of a voice are divided by the rows that share it.

use crate::interpret::bar_draft::{BarDraft, RowDraft};
use crate::interpret::codes;
use crate::interpret::divisions::{Clash, DividedSpan, overlay, reduce};
use crate::interpret::join_hits::part;
use crate::interpret::voice_draft::VoiceHit;
use crate::score::kit::Limb;
use crate::score::{Division, SHORTEST, Time};
use crate::source::Diagnostics;
use crate::source::say::{self, RowBar};
use num_rational::Ratio;
use std::borrow::Cow;

/// A voice of one bar: all of it, or what one limb plays.
#[derive(Clone, Copy)]
pub(crate) struct VoiceBar<'a> {
    pub(crate) draft: &'a BarDraft,
    pub(crate) limb: Option<Limb>,
    /// The bar in its block, from 1, where that has several.
    pub(crate) bar: Option<usize>,
}

impl VoiceBar<'_> {
    /// The divisions that the hits of the voice call for.
    pub(crate) fn divisions(
        &self,
        hits: &[VoiceHit],
        diagnostics: &mut Diagnostics,
    ) -> Vec<Division> {
        let starts_and_ends = |m: &VoiceHit| std::iter::once(m.hit.at).chain(m.hit.until);
        let points = ordered(hits.iter().flat_map(starts_and_ends).collect());
        let dotted = self.draft.meter.dotted_beat();
        let mut rows = Vec::new();
        let mut names: Vec<&str> = Vec::new();
        for row in &self.draft.rows {
            let asked = self.points_of(row, &points);
            let stretches = self.stretches_of(row);
            let Some(divisions) = reduce(&stretches, &asked, dotted) else {
                let place = RowBar { row: &row.name, bar: self.bar };
                let message = format!("{place}: its beats are divided too finely to be written");
                diagnostics
                    .error(self.draft.span, message)
                    .code(codes::DIVISION_TOO_FINE)
                    .mend("a beat has at most 512 parts in all");
                continue;
            };
            if !asked.is_empty() {
                names.push(&row.name);
            }
            rows.push(divisions);
        }
        let mut clashes = Vec::new();
        let divisions = overlay(rows, &points, dotted, &mut clashes);
        let clashed = !clashes.is_empty();
        for clash in clashes {
            self.report(clash, &names, diagnostics);
        }
        if !clashed {
            self.check_shortest(hits, &divisions, diagnostics);
        }
        divisions
    }

    /// Reports the first hit that only a note too short to be written would do justice to.
    fn check_shortest(
        &self,
        hits: &[VoiceHit],
        divisions: &[Division],
        diagnostics: &mut Diagnostics,
    ) {
        let shortest = Time::new(1, SHORTEST);
        let dotted = self.draft.meter.dotted_beat();
        let too_fine = |at: Time| {
            let after = divisions.partition_point(|d| d.start <= at);
            let own = after.checked_sub(1).and_then(|index| divisions.get(index));
            match own.filter(|d| at < d.start + d.length) {
                Some(own) if at > own.start => {
                    own.shortest(Ratio::from_integer(1), dotted) < shortest
                }
                Some(_) | None => at.denominator() > SHORTEST,
            }
        };
        let fine = |m: &&VoiceHit| too_fine(m.hit.at) || m.hit.until.is_some_and(too_fine);
        let Some(found) = hits.iter().find(fine) else { return };
        let bar = self.bar.map(|bar| format!("bar {bar}: ")).unwrap_or_default();
        let message = format!(
            "{bar}this would need notes shorter than a {SHORTEST}th, which are not written"
        );
        diagnostics
            .error(found.hit.span, message)
            .code(codes::NOTE_TOO_SHORT)
            .mend("give the cells more time, or write them in a faster tempo as longer notes");
    }

    /// The stretches of a row. A part of a group over a barline shows its cells in the voice that has all its
    /// hits; in another it is a stretch like any other.
    fn stretches_of<'r>(&self, row: &'r RowDraft) -> Cow<'r, [DividedSpan]> {
        if row.stretches.iter().all(|stretch| stretch.across.is_none()) {
            return Cow::Borrowed(&row.stretches);
        }
        let own = |stretch: &DividedSpan| {
            let end = stretch.start + stretch.length;
            let mut hits = row.hits.iter().filter(|hit| hit.at >= stretch.start && hit.at < end);
            hits.all(|hit| part(hit, self.limb).is_some())
        };
        let stretches = row.stretches.iter().map(|stretch| DividedSpan {
            across: stretch.across.filter(|_| own(stretch)),
            ..stretch.clone()
        });
        stretches.collect()
    }

    /// The starts and ends of a row's hits in the voice, among those of the whole voice.
    fn points_of(&self, row: &RowDraft, points: &[Time]) -> Vec<Time> {
        let own = row.hits.iter().filter(|hit| part(hit, self.limb).is_some());
        let own = own.flat_map(|hit| std::iter::once(hit.at).chain(hit.until));
        ordered(own.filter(|point| points.binary_search(point).is_ok()).collect())
    }

    fn report(&self, clash: Clash, names: &[&str], diagnostics: &mut Diagnostics) {
        let (Clash::Unreadable { start, .. } | Clash::Unwritable { start }) = clash;
        let beats = self.draft.counter.beats();
        let at = start + self.draft.offset;
        let beat = beats.partition_point(|b| b.start <= at);
        let number = beats.get(beat.saturating_sub(1)).map_or(1, |b| b.number);
        let rows = say::listed(names.iter().copied());
        let bar = self.bar.map(|bar| format!(" of bar {bar}")).unwrap_or_default();
        let message = |what: &str| format!("{rows} divide beat {number}{bar} in ways that {what}");
        match clash {
            Clash::Unreadable { parts, .. } => diagnostics
                .warning(self.draft.span, message(&format!("meet only in {parts} parts"))),
            Clash::Unwritable { .. } => {
                diagnostics.error(self.draft.span, message("cannot be written in one voice"))
            }
        }
        .code(codes::DIVISIONS_CLASH)
        .mend("set them in two voices, with rows `hands` and `feet`");
    }
}

fn ordered(mut points: Vec<Time>) -> Vec<Time> {
    points.sort();
    points.dedup();
    points
}

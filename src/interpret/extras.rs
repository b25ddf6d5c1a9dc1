//! What stands under and over the notes of a set.

use crate::interpret::bar_draft::BarDraft;
use crate::interpret::finish::Extras;
use crate::interpret::rows::{PlannedSet, RowKind};
use crate::interpret::sticking::Sticks;
use crate::interpret::values;
use crate::interpret::voice_draft::VoiceDraft;
use crate::interpret::words;
use crate::interpret::words::{SetTimes, WordsOfSet};
use crate::score::Time;
use crate::score::kit::Limb;
use crate::score::mark::{FeelMark, TempoMark};
use crate::score::{Mark, MarkKind};
use crate::source::Diagnostics;

/// Places the rows of a set that stand under and over its notes. `slots` are the times of the
/// syllables of each bar, where the set is counted first.
pub(crate) fn add_extras(
    set: &PlannedSet<'_>,
    (drafts, slots): (&[BarDraft], Option<&[Vec<Time>]>),
    bars_in_block: usize,
    merged: &mut [[VoiceDraft; 2]],
    extras: &mut [Extras],
    diagnostics: &mut Diagnostics,
) {
    for row in &set.rows {
        match &row.kind {
            RowKind::Sticks(limb, raw) => {
                let sticks = Sticks {
                    row: row.name,
                    limb: *limb,
                    raw,
                    span: row.name_span,
                    damaged: row.damaged,
                };
                let letters =
                    sticks.place_letters(drafts, merged, set.first, bars_in_block, diagnostics);
                for (extra, own) in extras.iter_mut().zip(letters) {
                    match limb {
                        Limb::Hands => extra.sticking = own,
                        Limb::Feet => extra.pedalling = own,
                    }
                }
            }
            RowKind::Words(word, raw) => {
                let words = WordsOfSet {
                    name: row.name,
                    row: *word,
                    raw,
                    damaged: row.damaged,
                    first: set.first,
                    bars_in_block,
                };
                words.add(SetTimes { drafts, slots, merged }, extras, diagnostics);
            }
            RowKind::Hits(..) | RowKind::Count(_) => {}
        }
    }
    extras.iter_mut().for_each(|e| e.marks.sort_by_key(|m| m.at));
}

/// A new tempo or feel at the start of a later set is a mark over its first bar.
pub(crate) fn opening(set: &PlannedSet<'_>, before: Option<&PlannedSet<'_>>) -> Vec<Mark> {
    let Some(before) = before else { return Vec::new() };
    let mut kinds = Vec::new();
    if set.has("tempo")
        && let Some(tempo) = &set.setup.tempo
    {
        kinds.push(MarkKind::Tempo(TempoMark::New(values::metronome(tempo, &set.setup.meter))));
    }
    if set.has("swing") && set.setup.swing != before.setup.swing {
        kinds.push(set.setup.swing.map_or(MarkKind::Feel(FeelMark::Straight), |swing| {
            MarkKind::Feel(FeelMark::Swing(swing))
        }));
    }
    words::opening_marks(kinds, set.span)
}

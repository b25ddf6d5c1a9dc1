//! One bar written, measured and spaced.

use super::bar::SpacedBar;
use super::gaps::Gap;
use super::line_start::LineStart;
use super::sign_bar::SignBar;
use super::{even, gaps, hairpin_rods, longer, pauses, players, rods};
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::barlines::closing_width;
use crate::engrave::measure::columns::{Column, columns};
use crate::engrave::measure::opening::{BarOpening, opening_width};
use crate::engrave::measure::small_notes;
use crate::engrave::measure::voice::{VoiceShape, voices};
use crate::engrave::notate::shown::Shown;
use crate::score::{Bar, PlayerPart};

/// From what a bar begins with to the ink of its first note, at least (no source).
const BEFORE_INK: f64 = 0.6;

/// Spaces one bar.
pub fn space(
    engraver: &Engraver<'_>,
    part: &PlayerPart,
    bar: &Bar,
    opening: BarOpening,
    shown: Shown,
) -> SpacedBar {
    let voices = voices(engraver, part, bar);
    let sign = SignBar { engraver, bar, opening, shown };
    match shown {
        Shown::Again(again) => return sign.repeat(again, voices),
        Shown::Rest { .. } => return sign.rest(voices),
        Shown::Notes => {}
    }
    let mut columns = columns(engraver, bar, &voices);
    let gaps = note_gaps(engraver, part, bar, &voices, &mut columns);
    let lead = opening_width(engraver, &bar.meter, opening)
        + engraver.style.after_barline.max(columns.first().map_or(0.0, |c| c.left) + BEFORE_INK);
    let closing = closing_width(engraver, bar.closing);
    let line_start = LineStart::default();
    let (small, others) = (None, Vec::new());
    let spaced = SpacedBar {
        voices,
        small,
        others,
        columns,
        gaps,
        lead,
        opening,
        closing,
        shown,
        line_start,
    };
    let small = bar.small.as_ref().and_then(|notes| {
        let part = small_notes::part(notes);
        let small = space(engraver, &part, &notes.bar, BarOpening::default(), Shown::Notes);
        players::with_small(engraver, (bar, spaced.clone()), small)
    });
    small.unwrap_or(spaced)
}

/// The gaps of a bar of notes; its first column is widened for the words under it.
fn note_gaps(
    engraver: &Engraver<'_>,
    part: &PlayerPart,
    bar: &Bar,
    voices: &[VoiceShape; 2],
    columns: &mut [Column],
) -> Vec<Gap> {
    let rods = rods::rods(engraver, part, bar, columns, voices);
    if let Some(first) = columns.first_mut() {
        let words = rods.iter().filter(|rod| rod.from == 0).map(|rod| rod.left_of_from);
        first.left = words.fold(first.left, f64::max);
    }
    let sounding = voices.each_ref();
    let mut gaps = gaps::gaps(engraver, bar, &sounding, columns);
    for rod in &rods {
        rods::widen(&mut gaps, rod);
    }
    hairpin_rods::make_room(engraver, bar, columns, &mut gaps);
    gaps.iter_mut().for_each(|gap| gap.ink = gap.min);
    even::even_out(bar, columns, &sounding, &mut gaps);
    longer::keep_longer_wider(bar, columns, &mut gaps);
    even::even_out(bar, columns, &sounding, &mut gaps);
    pauses::make_room(bar, columns, &mut gaps);
    gaps
}

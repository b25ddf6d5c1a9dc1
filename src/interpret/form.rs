//! Repeats, endings, jumps and ties that lead nowhere.

use super::bar_draft::{BarDraft, RowHit, Tie};
use super::codes;
use super::rows::PlannedSet;
use crate::score::mark::{Back, Direction, FormMark, TempoMark, Until};
use crate::score::{Bar, Closing, Kit, MarkKind};
use crate::source::{Diagnostics, Span, say};
use std::collections::BTreeMap;

/// Warns of the form of a block where it is broken.
pub(crate) fn check(bars: &[Bar], sets: &[PlannedSet<'_>], diagnostics: &mut Diagnostics) {
    endings(bars, diagnostics);
    repeats(bars, sets, diagnostics);
    jumps(bars, diagnostics);
    tempos(bars, diagnostics);
}

/// `a-tempo` leads back from a gradual change.
fn tempos(bars: &[Bar], diagnostics: &mut Diagnostics) {
    let mut gradual = false;
    for mark in bars.iter().flat_map(|bar| &bar.marks).filter(|mark| mark.kind.says_tempo()) {
        if mark.kind == MarkKind::Tempo(TempoMark::ATempo) && !gradual {
            diagnostics
                .warning(mark.span, "no `rit` or `accel` before this `a-tempo` leads away from the tempo")
                .code(codes::TEMPO_UNCHANGED)
                .mend("write `rit` or `accel` where the tempo begins to change, or a new tempo as `tempo=120`");
        }
        gradual = matches!(mark.kind, MarkKind::Tempo(TempoMark::Gradual(_)));
    }
}

fn repeats_here(bar: &Bar) -> bool {
    matches!(bar.closing, Closing::Repeat { .. })
}

/// A first ending leads back at its end.
fn endings(bars: &[Bar], diagnostics: &mut Diagnostics) {
    for (index, bar) in bars.iter().enumerate() {
        let Some((passes, span)) = bar.ending() else { continue };
        let ends = |at: &usize| {
            bars.get(*at).is_none_or(|bar| bar.closing != Closing::Single)
                || bars.get(at + 1).is_none_or(|next| next.ending().is_some())
        };
        let last = (index..bars.len()).find(ends).and_then(|last| bars.get(last));
        if passes.has(1) && !last.is_some_and(repeats_here) {
            diagnostics
                .warning(span, "a first ending leads back, and no `:|` closes this one")
                .code(codes::ENDING_UNCLOSED)
                .mend("write `:|` where it ends, or take the mark out");
        }
    }
}

/// What begins with `|:` ends with `:|`.
fn repeats(bars: &[Bar], sets: &[PlannedSet<'_>], diagnostics: &mut Diagnostics) {
    let starts: Vec<usize> = (0..bars.len()).filter(|at| bars[*at].repeat_start).collect();
    for (nth, start) in starts.iter().enumerate() {
        let end = starts.get(nth + 1).copied().unwrap_or(bars.len());
        if bars[*start..end].iter().any(repeats_here) {
            continue;
        }
        let Some(span) = sign(sets, *start) else { continue };
        diagnostics
            .warning(span, "a repeat starts here, and no `:|` ends it")
            .code(codes::REPEAT_UNCLOSED)
            .mend("write `:|` where it goes back, or `|` in place of this sign");
    }
}

/// Where a repeat that starts with a bar is written.
fn sign(sets: &[PlannedSet<'_>], bar: usize) -> Option<Span> {
    let set = sets.iter().rfind(|set| set.first <= bar)?;
    let own = set.shapes().find_map(|shape| shape.bar(bar - set.first)?.starts_repeat);
    let before = sets.iter().rfind(|before| before.first < set.first);
    own.or_else(|| before.filter(|_| bar == set.first)?.opens_next)
}

/// A jump has somewhere to go, and to leave.
fn jumps(bars: &[Bar], diagnostics: &mut Diagnostics) {
    let marks = || bars.iter().flat_map(|bar| &bar.marks);
    let has = |kind: &MarkKind| marks().any(|mark| mark.kind == *kind);
    let says = |direction: Direction| has(&MarkKind::Form(FormMark::Direction(direction)));
    for mark in marks() {
        let MarkKind::Form(FormMark::Direction(direction)) = mark.kind else { continue };
        let mut missing: Vec<&str> = Vec::new();
        match direction {
            Direction::Fine => {}
            Direction::ToCoda => {
                missing.extend((!has(&MarkKind::Form(FormMark::Coda))).then_some("coda"));
            }
            Direction::Jump { back, until, .. } => {
                let segno = back == Back::Segno && !has(&MarkKind::Form(FormMark::Segno));
                missing.extend(segno.then_some("segno"));
                match until {
                    Until::End => {}
                    Until::Fine => missing.extend((!says(Direction::Fine)).then_some("fine")),
                    Until::Coda => {
                        missing.extend((!says(Direction::ToCoda)).then_some("to-coda"));
                        missing.extend((!has(&MarkKind::Form(FormMark::Coda))).then_some("coda"));
                    }
                }
            }
        }
        if let Some(first) = missing.first() {
            let all = say::choice(missing.iter().copied());
            let where_to = match *first {
                "segno" => "where the sign stands",
                "fine" => "where the piece ends",
                "to-coda" => "where the coda is gone on to",
                _ => "where the coda begins",
            };
            diagnostics
                .warning(mark.span, format!("`{}` has no {all} in this block", direction.words()))
                .code(codes::JUMP_ASTRAY)
                .mend(format!("write `{first}` in a `mark` row {where_to}"));
        }
    }
}

/// A tie joins notes of one drum.
pub(crate) fn check_ties(drafts: &[BarDraft], kit: &Kit, diagnostics: &mut Diagnostics) {
    let mut tied: BTreeMap<&str, &RowHit> = BTreeMap::new();
    for row in drafts.iter().flat_map(|draft| &draft.rows) {
        for hit in &row.hits {
            let from = tied.remove(row.name.as_str());
            if hit.tie == Tie::Tied {
                tied.insert(&row.name, hit);
            }
            let Some(from) = from else { continue };
            let shared = |strikes: &RowHit| {
                strikes.cell.strikes.iter().any(|one| {
                    hit.cell.strikes.iter().any(|other| one.instrument == other.instrument)
                })
            };
            if shared(from) {
                continue;
            }
            let name = |hit: &RowHit| {
                let strike = hit.cell.strikes.first()?;
                kit.get(strike.instrument).map(|instrument| instrument.name.clone())
            };
            let (from, to) = (name(from).unwrap_or_default(), name(hit).unwrap_or_default());
            diagnostics
                .warning(
                    hit.span,
                    format!(
                        "`{}`: `_` ties `{from}` into `{to}`, and a tie joins notes of one drum",
                        row.name
                    ),
                )
                .code(codes::TIE_ELSEWHERE)
                .mend("write `-` in place of the `_` before it, or strike the same drum");
        }
    }
}

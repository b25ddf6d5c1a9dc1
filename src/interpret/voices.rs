//! Rows merged into voices.

use crate::interpret::divisions::{Clash, lcm, overlay, position, reduce};
use crate::interpret::flow::{BarDraft, RowHit, Tie};
use crate::interpret::place::LimbStrike;
use crate::interpret::setup::Voices;
use crate::score::BlockWord;
use crate::score::kit::Limb;
use crate::score::meter::MeterKind;
use crate::score::{Hit, Strike, Voice};
use crate::score::{Kit, Time};
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use std::collections::BTreeSet;

/// Instruments two hands can strike at once.
const HANDS: usize = 2;

/// A hit of a voice, with the limb of each of its strikes.
#[derive(Clone, Debug)]
pub(crate) struct VoiceHit {
    pub(crate) hit: Hit,
    pub(crate) limbs: Vec<Limb>,
    tie: Tie,
}

/// One voice of one bar, before its hits are final.
#[derive(Clone, Debug, Default)]
pub(crate) struct VoiceDraft {
    pub(crate) hits: Vec<VoiceHit>,
    divisions: Vec<crate::score::Division>,
}

impl VoiceDraft {
    pub(crate) fn finish(self) -> Voice {
        let hits = self.hits.into_iter().map(|m| Hit { tied: m.tie != Tie::None, ..m.hit });
        Voice { hits: hits.collect(), divisions: self.divisions }
    }
}

/// In which bars hands and feet are set apart.
///
/// Asked for by `voices:` or by rows `hands` and `feet`; else a groove that has both sets them
/// apart, and any other block only where one bar calls for it.
pub(crate) fn apart(
    drafts: &[BarDraft],
    word: BlockWord,
    asked: Voices,
    named: bool,
    kit: &Kit,
) -> Vec<bool> {
    let all = |apart: bool| vec![apart; drafts.len()];
    match asked {
        Voices::One => return all(false),
        Voices::Two => return all(true),
        Voices::ByBar => return drafts.iter().map(|draft| calls_for_two(draft, kit)).collect(),
        Voices::Auto if named => return all(true),
        Voices::Auto => {}
    }
    let has = |limb: Limb| drafts.iter().flat_map(all_blows).any(|(_, b)| b.limb == limb);
    let both = has(Limb::Hands) && has(Limb::Feet);
    let called_for = || drafts.iter().any(|draft| calls_for_two(draft, kit));
    all(both && (word == BlockWord::Groove || called_for()))
}

/// Whether a bar is not to be read in one voice: a hand and a foot strike together in a beat in
/// which their rhythms differ, or divide a beat so that they meet only on a grid finer than either.
/// A crash with the kick under it is one sound and no meeting.
fn calls_for_two(draft: &BarDraft, kit: &Kit) -> bool {
    let times = |limb: Limb| -> BTreeSet<Time> {
        all_blows(draft).filter(|(_, b)| b.limb == limb).map(|(at, _)| at).collect()
    };
    let (hands, feet) = (times(Limb::Hands), times(Limb::Feet));
    let crashes: BTreeSet<Time> =
        all_blows(draft).filter(|(_, b)| kit.is_crash(b.instrument)).map(|(at, _)| at).collect();
    beats(draft).any(|(start, end)| {
        let [hands, feet] = [&hands, &feet].map(|times| times.range(start..end));
        let kicked = |at: &Time| feet.clone().any(|foot| foot == at);
        let grid = |mut times: std::collections::btree_set::Range<'_, Time>| {
            times.try_fold(1, |grid, at| lcm(grid, position(*at, start, end - start).1))
        };
        let differ = !hands.clone().eq(feet.clone());
        let meet = hands.clone().any(|at| kicked(at) && !crashes.contains(at));
        let crossed = match (grid(hands), grid(feet)) {
            (Some(hands), Some(feet)) => lcm(hands, feet).is_none_or(|both| both > hands.max(feet)),
            _ => false,
        };
        differ && (meet || crossed)
    })
}

/// Start and end of each beat of a bar.
fn beats(draft: &BarDraft) -> impl Iterator<Item = (Time, Time)> {
    let mut at = Time::ZERO - draft.offset;
    draft.meter.beats().into_iter().map(move |beat| {
        let start = at;
        at += beat;
        (start, at)
    })
}

fn all_blows(draft: &BarDraft) -> impl Iterator<Item = (Time, &LimbStrike)> {
    let hits = draft.rows.iter().flat_map(|row| row.hits.iter());
    hits.flat_map(|hit| hit.struck.strikes.iter().map(move |b| (hit.at, b)))
}

/// Merges the rows of every bar into an upper and a lower voice, or where hands and feet are not
/// `apart` into an upper one alone.
pub(crate) fn merge(
    drafts: &[BarDraft],
    apart: &[bool],
    kit: &Kit,
    diagnostics: &mut Diagnostics,
) -> Vec<[VoiceDraft; 2]> {
    let many = drafts.len() > 1;
    let limbs_of = |index: usize| match apart.get(index) {
        Some(true) => [Some(Limb::Hands), Some(Limb::Feet)],
        _ => [None, None],
    };
    let mut bars: Vec<[VoiceDraft; 2]> = Vec::with_capacity(drafts.len());
    for (index, draft) in drafts.iter().enumerate() {
        let bar = many.then_some(index + 1);
        // A bar written `%` repeats the warnings of the bar it copies.
        let mut quiet = Diagnostics::default();
        let heard = if draft.again.is_some() { &mut quiet } else { &mut *diagnostics };
        let merging = Merging { draft, kit, bar };
        let voices = if limbs_of(index)[0].is_some() {
            [merging.voice(Some(Limb::Hands), heard), merging.voice(Some(Limb::Feet), heard)]
        } else {
            [merging.voice(None, heard), VoiceDraft::default()]
        };
        merging.count_hands(&voices, heard);
        bars.push(voices);
    }
    join_barlines(&mut bars, drafts);
    // Only now is it known which hits stay and where they end.
    for (index, (draft, voices)) in drafts.iter().zip(&mut bars).enumerate() {
        let mut quiet = Diagnostics::default();
        let heard = if draft.again.is_some() { &mut quiet } else { &mut *diagnostics };
        let merging = Merging { draft, kit, bar: many.then_some(index + 1) };
        for (voice, limb) in voices.iter_mut().zip(limbs_of(index)) {
            voice.divisions = merging.divisions(limb, &voice.hits, heard);
        }
    }
    bars
}

/// Sees that what goes on over a barline does so on both its sides.
fn join_barlines(bars: &mut [[VoiceDraft; 2]], drafts: &[BarDraft]) {
    for index in 0..bars.len() {
        for voice in 0..2 {
            let next = bars.get(index + 1).and_then(|b| b[voice].hits.first());
            let starts = next.filter(|m| m.hit.at == Time::ZERO).map(|m| m.hit.continued);
            let length = drafts[index].length;
            let mut goes_on = false;
            if let Some(last) = bars[index][voice].hits.last_mut()
                && last.hit.until == Some(length)
            {
                goes_on = match (last.tie, starts) {
                    (Tie::Held, Some(true)) | (Tie::Tied, Some(_)) => true,
                    _ => {
                        last.tie = Tie::None;
                        false
                    }
                };
            }
            if !goes_on && starts == Some(true) {
                bars[index + 1][voice].hits.remove(0);
            }
        }
    }
}

struct Merging<'a> {
    draft: &'a BarDraft,
    kit: &'a Kit,
    bar: Option<usize>,
}

impl Merging<'_> {
    fn voice(&self, limb: Option<Limb>, diagnostics: &mut Diagnostics) -> VoiceDraft {
        let mut parts: Vec<(&str, RowHit)> = Vec::new();
        for row in &self.draft.rows {
            parts.extend(row.hits.iter().filter_map(|h| Some((row.name.as_str(), part(h, limb)?))));
        }
        parts.sort_by_key(|(_, hit)| hit.at);
        let mut hits: Vec<VoiceHit> = Vec::new();
        // Pairs of rows that strike one instrument at once; each is reported once in a bar.
        let mut reported = Vec::new();
        for same in parts.chunk_by(|(_, a), (_, b)| a.at == b.at) {
            hits.extend(self.merged(same, &mut reported, diagnostics));
        }
        self.cut(&mut hits, diagnostics);
        VoiceDraft { hits, divisions: Vec::new() }
    }

    /// One hit of all that is struck at one time.
    fn merged<'p>(
        &self,
        parts: &[(&'p str, RowHit)],
        reported: &mut Vec<(&'p str, &'p str)>,
        diagnostics: &mut Diagnostics,
    ) -> Option<VoiceHit> {
        let continued = parts.iter().all(|(_, hit)| hit.continued);
        let mut parts = parts.iter().filter(|(_, hit)| continued || !hit.continued);
        let (first_row, first) = parts.next()?;
        let mut strikes: Vec<(LimbStrike, Span, &str)> =
            first.struck.strikes.iter().map(|b| (*b, first.span, *first_row)).collect();
        let mut hit = Hit {
            at: first.at,
            until: first.until,
            strikes: Vec::new(),
            grace: first.struck.grace,
            strokes: first.struck.strokes,
            buzz: first.struck.buzz,
            touch: first.struck.touch,
            tied: false,
            continued,
            span: first.span,
        };
        let mut tie = first.tie;
        for (row, next) in parts {
            let struck = &next.struck;
            let differ = |a: u8, b: u8| a > 0 && b > 0 && a != b;
            if differ(hit.grace, struck.grace) || differ(hit.strokes, struck.strokes) {
                diagnostics
                    .warning(next.span, format!(
                        "{}: this hit has other grace notes or strokes than `{first_row}` has at the same time; the most are set",
                        self.place(row)
                    ))
                    .mend("write them on one of the two rows");
            }
            hit.grace = hit.grace.max(struck.grace);
            hit.strokes = hit.strokes.max(struck.strokes);
            hit.buzz |= struck.buzz;
            hit.touch = hit.touch.with(struck.touch);
            hit.until = hit.until.max(next.until);
            tie = tie.max(next.tie);
            for strike in &struck.strikes {
                let known = strikes.iter_mut().find(|(b, ..)| b.instrument == strike.instrument);
                let Some((known, _, other_row)) = known else {
                    strikes.push((*strike, next.span, row));
                    continue;
                };
                if !continued && !reported.contains(&(*row, *other_row)) {
                    reported.push((*row, *other_row));
                    let name = self.kit.get(strike.instrument).map_or("", |i| i.name.as_str());
                    diagnostics
                        .warning(
                            next.span,
                            format!(
                                "{}: the row `{other_row}` strikes `{name}` at the same time",
                                self.place(row)
                            ),
                        )
                        .mend("write the hit in one of the two rows");
                }
                known.accent = known.accent.max(strike.accent);
                known.ghost &= strike.ghost;
                known.choked |= strike.choked;
            }
        }
        let place = |b: &LimbStrike| self.kit.get(b.instrument).map_or(0, |i| i.position);
        strikes.sort_by_key(|(b, ..)| (place(b), b.instrument));
        hit.strikes = strikes
            .iter()
            .map(|(b, span, _)| Strike {
                instrument: b.instrument,
                accent: b.accent,
                ghost: b.ghost,
                choked: b.choked,
                span: *span,
            })
            .collect();
        Some(VoiceHit { hit, limbs: strikes.iter().map(|(b, ..)| b.limb).collect(), tie })
    }

    /// Ends each hit at the next one of its voice.
    fn cut(&self, hits: &mut [VoiceHit], diagnostics: &mut Diagnostics) {
        for index in 0..hits.len() {
            let next = hits.get(index + 1).map(|m| m.hit.at);
            let now = &mut hits[index];
            let Some(until) = now.hit.until else { continue };
            let reaches = match next {
                Some(next) => until == next,
                None => until == self.draft.length,
            };
            if let Some(next) = next.filter(|next| until > *next) {
                now.hit.until = Some(next);
            }
            if now.tie == Tie::Tied && !reaches {
                diagnostics
                    .warning(now.hit.span, "the tie of this hit is lost: other hits of its voice come before the one it leads to".to_owned())
                    .mend("set them apart with rows `hands` and `feet`, or end the hit without `_`");
            }
            if !reaches {
                now.tie = Tie::None;
            }
        }
    }

    fn divisions(
        &self,
        limb: Option<Limb>,
        hits: &[VoiceHit],
        diagnostics: &mut Diagnostics,
    ) -> Vec<crate::score::Division> {
        let mut points: Vec<Time> =
            hits.iter().flat_map(|m| std::iter::once(m.hit.at).chain(m.hit.until)).collect();
        points.sort();
        points.dedup();
        let meter = &self.draft.meter;
        let dotted = (meter.kind == MeterKind::Compound).then(|| meter.unit() * 3);
        let mut rows = Vec::new();
        let mut names: Vec<&str> = Vec::new();
        for row in &self.draft.rows {
            let own = row.hits.iter().filter(|hit| part(hit, limb).is_some());
            let mut asked: Vec<Time> = own
                .flat_map(|hit| std::iter::once(hit.at).chain(hit.until))
                .filter(|point| points.binary_search(point).is_ok())
                .collect();
            asked.sort();
            asked.dedup();
            match reduce(&row.stretches, &asked, dotted) {
                Some(divisions) => {
                    if !asked.is_empty() {
                        names.push(&row.name);
                    }
                    rows.push(divisions);
                }
                None => {
                    diagnostics
                        .error(
                            self.draft.span,
                            format!(
                                "{}: its beats are divided too finely to be written",
                                self.place(&row.name)
                            ),
                        )
                        .mend("a beat has at most 512 parts in all");
                }
            }
        }
        let mut clashes = Vec::new();
        let divisions = overlay(rows, &points, dotted, &mut clashes);
        for clash in clashes {
            self.report(clash, &names, diagnostics);
        }
        divisions
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
        .mend("set them in two voices, with rows `hands` and `feet`");
    }

    fn count_hands(&self, voices: &[VoiceDraft; 2], diagnostics: &mut Diagnostics) {
        let of_hands = |m: &VoiceHit| m.limbs.iter().filter(|l| **l == Limb::Hands).count();
        for merged in voices.iter().flat_map(|v| v.hits.iter()) {
            if of_hands(merged) > HANDS && !merged.hit.continued {
                let wanted = say::several(of_hands(merged), "instrument");
                let bar = self.bar.map(|bar| format!("bar {bar}: ")).unwrap_or_default();
                diagnostics
                    .warning(
                        merged.hit.span,
                        format!("{bar}two hands are to strike {wanted} at once"),
                    )
                    .mend("leave one out, or give it to a foot");
                return;
            }
        }
    }

    fn place<'a>(&self, row: &'a str) -> RowBar<'a> {
        RowBar { row, bar: self.bar }
    }
}

/// The part of a hit that one limb plays; ornaments stay with the hands where both play it.
fn part(hit: &RowHit, limb: Option<Limb>) -> Option<RowHit> {
    let Some(limb) = limb else { return Some(hit.clone()) };
    let strikes: Vec<LimbStrike> =
        hit.struck.strikes.iter().filter(|b| b.limb == limb).copied().collect();
    if strikes.is_empty() {
        return None;
    }
    let mut part = hit.clone();
    if limb == Limb::Feet && strikes.len() < hit.struck.strikes.len() {
        part.struck.grace = 0;
        part.struck.strokes = 0;
        part.struck.buzz = false;
        part.struck.touch.roll = None;
    }
    part.struck.strikes = strikes;
    Some(part)
}

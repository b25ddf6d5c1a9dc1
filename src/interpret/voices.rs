//! Rows merged into voices.

use crate::interpret::bar_draft::{BarDraft, RowHit, Tie};
use crate::interpret::codes;
use crate::interpret::join_hits::{HitJoiner, part};
use crate::interpret::voice_divisions::VoiceBar;
use crate::interpret::voice_draft::{VoiceDraft, VoiceHit};
use crate::interpret::written::CrossedStrike;
use crate::score::kit::Limb;
use crate::score::{Hit, Kit, Time};
use crate::source::{Diagnostics, say};

/// Hands of one drummer.
pub(crate) const HANDS: usize = 2;

/// Merges the rows of every bar into an upper and a lower voice, or where hands and feet are not
/// `apart` into an upper one alone. What more than so many hands are to strike is told.
pub(crate) fn merge(
    drafts: &[BarDraft],
    apart: &[bool],
    (kit, hands): (&Kit, usize),
    diagnostics: &mut Diagnostics,
) -> Vec<[VoiceDraft; 2]> {
    let many = drafts.len() > 1;
    let limbs_of = |index: usize| match apart.get(index) {
        Some(true) => [Some(Limb::Hands), Some(Limb::Feet)],
        Some(false) | None => [None, None],
    };
    let mut bars: Vec<[VoiceDraft; 2]> = Vec::with_capacity(drafts.len());
    for (index, draft) in drafts.iter().enumerate() {
        let bar = many.then_some(index + 1);
        // A bar written `%` repeats the warnings of the bar it copies.
        let mut unreported = Diagnostics::default();
        let reported = if draft.again.is_some() { &mut unreported } else { &mut *diagnostics };
        let merging = Merging { draft, kit, bar };
        let voices = if limbs_of(index)[0].is_some() {
            [merging.voice(Some(Limb::Hands), reported), merging.voice(Some(Limb::Feet), reported)]
        } else {
            [merging.voice(None, reported), VoiceDraft::default()]
        };
        merging.count_hands(&voices, hands, reported);
        bars.push(voices);
    }
    join_barlines(&mut bars, drafts);
    show_silent(&mut bars, drafts, apart);
    // Only now is it known which hits stay and where they end.
    for (index, (draft, voices)) in drafts.iter().zip(&mut bars).enumerate() {
        let mut unreported = Diagnostics::default();
        let reported = if draft.again.is_some() { &mut unreported } else { &mut *diagnostics };
        for (voice, limb) in voices.iter_mut().zip(limbs_of(index)) {
            let bar = VoiceBar { draft, limb, bar: many.then_some(index + 1) };
            voice.divisions = bar.divisions(&voice.hits, reported);
        }
    }
    bars
}

/// Strikes that their row gives to the other limb than the kit does.
pub(crate) fn crossed(bars: &[[VoiceDraft; 2]], kit: &Kit) -> Vec<CrossedStrike> {
    let of_hit = |bar: usize, draft: &VoiceHit| {
        let (at, continued) = (draft.hit.at, draft.hit.continued);
        let strikes = draft.hit.strikes.iter().zip(&draft.limbs).filter(move |_| !continued);
        let crossed = strikes.filter(|(s, limb)| {
            kit.get(s.instrument).is_some_and(|instrument| instrument.limb != **limb)
        });
        crossed
            .map(|(s, limb)| CrossedStrike { bar, at, instrument: s.instrument, limb: *limb })
            .collect::<Vec<_>>()
    };
    let hits = bars.iter().enumerate().flat_map(|(bar, voices)| {
        voices.iter().flat_map(move |voice| voice.hits.iter().map(move |hit| (bar, hit)))
    });
    hits.flat_map(|(bar, hit)| of_hit(bar, hit)).collect()
}

/// With `rests: full` a voice that is silent for a bar in which the other sounds has a rest there,
/// unless it is silent in all of them.
fn show_silent(bars: &mut [[VoiceDraft; 2]], drafts: &[BarDraft], apart: &[bool]) {
    let sounds = |voice: usize| bars.iter().any(|bar| !bar[voice].hits.is_empty());
    if !(sounds(0) && sounds(1)) {
        return;
    }
    for ((voices, draft), apart) in bars.iter_mut().zip(drafts).zip(apart) {
        let silent = voices.each_ref().map(|voice| voice.hits.is_empty());
        for (voice, own) in voices.iter_mut().zip(silent) {
            voice.bar_rest = *apart && draft.full_rests && own && silent != [true, true];
        }
    }
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
                goes_on = match last.tie {
                    Tie::Held => starts == Some(true),
                    Tie::Tied => starts.is_some(),
                    Tie::None => false,
                };
                if !goes_on {
                    last.tie = Tie::None;
                }
            }
            if !goes_on && starts == Some(true) {
                bars[index + 1][voice].hits.remove(0);
            }
        }
    }
}

/// A hit whose written end comes after the next hit of its voice, which may be another limb's.
fn report_cut(hit: &Hit, other_limb: bool, diagnostics: &mut Diagnostics) {
    let (what, shorter) = match hit.is_roll() {
        true => ("this roll goes on", "write it in a smaller cell, as in `[s/.]`"),
        false => ("this hit is held", "end the hit without `-`; a cymbal rings on all the same"),
    };
    let mend = match other_limb {
        true => {
            format!("take `voices: one` out, so that hands and feet are set apart, or {shorter}")
        }
        false => shorter.to_owned(),
    };
    diagnostics
        .warning(
            hit.span,
            format!("{what}, but a hit of the same voice comes before it ends, and cuts it short"),
        )
        .code(codes::HOLD_CUT)
        .mend(mend);
}

struct Merging<'a> {
    draft: &'a BarDraft,
    kit: &'a Kit,
    bar: Option<usize>,
}

impl Merging<'_> {
    fn voice(&self, limb: Option<Limb>, diagnostics: &mut Diagnostics) -> VoiceDraft {
        let all = self.draft.rows.iter().map(|row| row.hits.len()).sum();
        let mut parts: Vec<(&str, RowHit)> = Vec::with_capacity(all);
        for row in &self.draft.rows {
            parts.extend(row.hits.iter().filter_map(|h| Some((row.name.as_str(), part(h, limb)?))));
        }
        parts.sort_by_key(|(_, hit)| hit.at);
        let together = || parts.chunk_by(|(_, a), (_, b)| a.at == b.at);
        let mut hits: Vec<VoiceHit> = Vec::with_capacity(together().count());
        let mut joiner = HitJoiner::new(self.kit, self.bar);
        for same in together() {
            hits.extend(joiner.join(same, diagnostics));
        }
        self.cut(&mut hits, diagnostics);
        VoiceDraft { hits, ..VoiceDraft::default() }
    }

    /// Ends each hit at the next one of its voice.
    fn cut(&self, hits: &mut [VoiceHit], diagnostics: &mut Diagnostics) {
        for index in 0..hits.len() {
            let after = hits.get(index + 1);
            let next = after.map(|m| m.hit.at);
            let held = hits[index].held;
            let of_another = |next: &VoiceHit| next.limbs.iter().any(|limb| held != Some(*limb));
            let other_limb = after.is_some_and(of_another);
            let now = &mut hits[index];
            let Some(until) = now.hit.until else { continue };
            let reaches = match next {
                Some(next) => until == next,
                None => until == self.draft.length,
            };
            let cut = next.filter(|next| until > *next);
            if cut.is_some() {
                now.hit.until = cut.filter(|_| now.held.is_some());
            }
            if cut.is_some() && now.held.is_some() && now.tie != Tie::Tied {
                report_cut(&now.hit, other_limb, diagnostics);
            }
            if now.tie == Tie::Tied && !reaches {
                diagnostics
                    .warning(now.hit.span, "the tie of this hit is lost: other hits of its voice come before the one it leads to".to_owned())
                    .code(codes::TIE_CUT)
                    .mend("set them apart with rows `hands` and `feet`, or end the hit without `_`");
            }
            if !reaches {
                now.tie = Tie::None;
            }
        }
    }

    fn count_hands(&self, voices: &[VoiceDraft; 2], hands: usize, diagnostics: &mut Diagnostics) {
        let of_hands = |m: &VoiceHit| m.limbs.iter().filter(|l| **l == Limb::Hands).count();
        for merged in voices.iter().flat_map(|v| v.hits.iter()) {
            if of_hands(merged) > hands && !merged.hit.continued {
                let wanted = say::several(of_hands(merged), "instrument");
                let bar = self.bar.map(|bar| format!("bar {bar}: ")).unwrap_or_default();
                diagnostics
                    .warning(
                        merged.hit.span,
                        format!("{bar}{} hands are to strike {wanted} at once", say::number(hands)),
                    )
                    .code(codes::HANDS_TOO_FEW)
                    .mend("leave one out, or give it to a foot");
                return;
            }
        }
    }
}

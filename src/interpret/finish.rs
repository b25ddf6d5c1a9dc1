//! Bars finished: voices, counts and what stands around them.

use crate::interpret::bar_draft::BarDraft;
use crate::interpret::voice_draft::VoiceDraft;
use crate::score::Time;
use crate::score::settings::CountDisplay;
use crate::score::{Bar, Cue, Dynamic, Mark, SmallNotes, Sticking, Syllable, Voice, Words};
use std::sync::Arc;

/// What stands under and over a bar.
#[derive(Default)]
pub(crate) struct Extras {
    pub(crate) sticking: Vec<Sticking>,
    pub(crate) pedalling: Vec<Sticking>,
    pub(crate) words: Vec<Words>,
    pub(crate) dynamics: Vec<Dynamic>,
    pub(crate) marks: Vec<Mark>,
    pub(crate) cue: Option<Cue>,
    pub(crate) small: Option<Arc<SmallNotes>>,
}

/// Makes a bar of its voices and of what stands around them.
pub(crate) fn bar(
    draft: BarDraft,
    voices: [VoiceDraft; 2],
    extras: Extras,
    show: CountDisplay,
) -> Bar {
    let [upper, lower] = voices.map(VoiceDraft::finish);
    let all = show == CountDisplay::All;
    let mut counts = Vec::new();
    if show != CountDisplay::None {
        counts = draft.counter.spell([&upper, &lower], draft.offset, draft.length, all);
        let sounds = |at: Time| {
            [&upper, &lower].iter().any(|v| {
                v.hits.binary_search_by_key(&at, |h| h.at).is_ok_and(|i| !v.hits[i].continued)
            })
        };
        for word in draft.written {
            let sounded = sounds(word.at);
            match counts.binary_search_by_key(&word.at, |s| s.at) {
                Ok(index) => counts[index].text = word.text,
                Err(index) if sounded || all => counts.insert(index, Syllable { sounded, ..word }),
                Err(_) => {}
            }
        }
    }
    Bar {
        meter: draft.meter,
        beams: draft.beams,
        length: draft.length,
        offset: draft.offset,
        upper: fitted_voice(upper),
        lower: fitted_voice(lower),
        counts: fitted(counts),
        sticking: fitted(extras.sticking),
        pedalling: fitted(extras.pedalling),
        words: fitted(extras.words),
        dynamics: fitted(extras.dynamics),
        marks: fitted(extras.marks),
        phrase: None,
        cue: extras.cue,
        small: extras.small,
        repeat_start: draft.repeat_start,
        closing: draft.closing,
        again: draft.again,
        span: draft.span,
    }
}

/// A list in no more room than it needs: bars stay for as long as their text. An allocator may leave a list as it is
/// that is asked to shrink by less than half.
fn fitted<T>(mut list: Vec<T>) -> Vec<T> {
    if list.len() == list.capacity() {
        return list;
    }
    let mut fitted = Vec::with_capacity(list.len());
    fitted.append(&mut list);
    fitted
}

fn fitted_voice(voice: Voice) -> Voice {
    Voice { hits: fitted(voice.hits), divisions: fitted(voice.divisions), ..voice }
}

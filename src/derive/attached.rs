//! What hangs on the notes of a phrase: words and dynamics under them, marks over the staff.

use crate::score::mark::{FeelMark, FormMark, LayoutMark, TempoMark};
use crate::score::settings::{Swing, Tempo};
use crate::score::{Bar, DynamicKind, MarkKind, SmallNotes, Time};
use std::sync::Arc;

/// The ratio a feel has where none is written.
pub(crate) const PLAIN_SWING: (u32, u32) = (2, 1);

/// What stands under and over the notes, each at its time from the start of the phrase, in order of
/// time.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Attached {
    pub(crate) words: Vec<(Time, String)>,
    pub(crate) dynamics: Vec<(Time, DynamicKind)>,
    pub(crate) marks: Vec<(Time, MarkKind)>,
    pub(crate) cues: Vec<(Time, String)>,
    /// Small notes over a bar that begins at a time.
    pub(crate) small: Vec<(Time, Arc<SmallNotes>)>,
}

impl Attached {
    /// Takes what stands under and over a bar that begins at a time.
    pub(crate) fn take(&mut self, bar: &Bar, start: Time) {
        self.words.extend(bar.words.iter().map(|w| (start + w.at, w.text.clone())));
        self.dynamics.extend(bar.dynamics.iter().map(|d| (start + d.at, d.kind)));
        self.marks.extend(bar.marks.iter().map(|m| (start + m.at, m.kind.clone())));
        self.cues.extend(bar.cue.iter().map(|cue| (start + cue.at, cue.player.clone())));
        self.small.extend(bar.small.iter().map(|small| (start, small.clone())));
    }

    /// Adds what hangs on music that follows at a time. A hairpin that is open there ends there, for it
    /// was to run to the end of its own block.
    pub(crate) fn append(&mut self, other: &Self, start: Time) {
        let opens = |kind: &DynamicKind| match kind {
            DynamicKind::Louder(_) | DynamicKind::Softer(_) => true,
            DynamicKind::Letters(_) | DynamicKind::End => false,
        };
        let open = self.dynamics.last().is_some_and(|(_, kind)| opens(kind));
        let goes_on = other.dynamics.first().is_some_and(|(at, _)| *at == Time::ZERO);
        if open && !goes_on {
            self.dynamics.push((start, DynamicKind::End));
        }
        self.words.extend(other.words.iter().map(|(at, text)| (start + *at, text.clone())));
        self.dynamics.extend(other.dynamics.iter().map(|(at, kind)| (start + *at, *kind)));
        self.marks.extend(other.marks.iter().map(|(at, kind)| (start + *at, kind.clone())));
        self.cues.extend(other.cues.iter().map(|(at, player)| (start + *at, player.clone())));
        self.small.extend(other.small.iter().map(|(at, small)| (start + *at, small.clone())));
    }

    /// Whether a key says something new from a time on.
    pub(super) fn says_by_key(&self, at: Time) -> bool {
        let first = self.marks.partition_point(|(time, _)| *time < at);
        let mut own = self.marks.iter().skip(first).take_while(|(time, _)| *time == at);
        own.any(|(_, kind)| said_by_key(kind).is_some())
    }

    /// Sets a mark before what else stands over the staff at its time.
    pub(crate) fn add_mark(&mut self, at: Time, kind: MarkKind) {
        let place = self.marks.partition_point(|(time, _)| *time < at);
        self.marks.insert(place, (at, kind));
    }

    /// Keeps what stands at some times.
    pub(crate) fn retain(&mut self, keep: impl Fn(Time) -> bool) {
        self.words.retain(|(at, _)| keep(*at));
        self.dynamics.retain(|(at, _)| keep(*at));
        self.marks.retain(|(at, _)| keep(*at));
        self.cues.retain(|(at, _)| keep(*at));
        self.small.retain(|(at, _)| keep(*at));
    }

    /// Keeps no more than the endings of what is repeated, which belong to the bars.
    pub(crate) fn keep_endings(&mut self) {
        self.marks.retain(|(_, kind)| matches!(kind, MarkKind::Form(FormMark::Ending(_))));
        (self.words, self.dynamics) = (Vec::new(), Vec::new());
        (self.cues, self.small) = (Vec::new(), Vec::new());
    }

    /// Puts everything in order of time; what was there before comes first.
    pub(crate) fn sort(&mut self) {
        self.words.sort_by_key(|(at, _)| *at);
        self.dynamics.sort_by_key(|(at, _)| *at);
        self.marks.sort_by_key(|(at, _)| *at);
        self.cues.sort_by_key(|(at, _)| *at);
        self.small.sort_by_key(|(at, _)| *at);
    }

    /// Without the marks that say the form of a whole piece: a passage that is played again has them
    /// once.
    pub(crate) fn played_again(&self) -> Self {
        let marks = self.marks.iter().filter(|(_, kind)| !is_of_the_form(kind)).cloned();
        Self { marks: marks.collect(), ..self.clone() }
    }
}

/// Whether a mark names a place of the form or says where to go from one.
fn is_of_the_form(kind: &MarkKind) -> bool {
    match kind {
        MarkKind::Form(
            FormMark::Section(_) | FormMark::Segno | FormMark::Coda | FormMark::Direction(_),
        )
        | MarkKind::Layout(LayoutMark::NewPage | LayoutMark::Turn) => true,
        MarkKind::Form(FormMark::Ending(_))
        | MarkKind::Tempo(_)
        | MarkKind::Feel(_)
        | MarkKind::Note(_)
        | MarkKind::Words(_)
        | MarkKind::Number(_)
        | MarkKind::Layout(LayoutMark::NewLine { .. })
        | MarkKind::Phrase(_) => false,
    }
}

/// What a key says at the start of a set, since no word of a `mark` row does.
pub(crate) enum KeyMark<'a> {
    Tempo(&'a Tempo),
    Swing(&'a Swing),
}

/// A mark as a key says it; nothing where a word of a `mark` row does.
pub(crate) fn said_by_key(kind: &MarkKind) -> Option<KeyMark<'_>> {
    match kind {
        MarkKind::Tempo(TempoMark::New(tempo)) => {
            let by_key = tempo.words.is_some() || tempo.up_to.is_some() || !tempo.printed;
            by_key.then_some(KeyMark::Tempo(tempo))
        }
        MarkKind::Feel(FeelMark::Swing(swing)) => {
            ((swing.long, swing.short) != PLAIN_SWING).then_some(KeyMark::Swing(swing))
        }
        MarkKind::Form(_)
        | MarkKind::Tempo(
            TempoMark::Gradual(_) | TempoMark::ATempo | TempoMark::Modulation { .. },
        )
        | MarkKind::Feel(FeelMark::Straight)
        | MarkKind::Note(_)
        | MarkKind::Words(_)
        | MarkKind::Number(_)
        | MarkKind::Layout(_)
        | MarkKind::Phrase(_) => None,
    }
}

//! Bars: voices, and what stands under and over them.

use super::mark::{FormMark, OpenPhrase, Passes};
use super::{Division, Dynamic, Hit, Kit, Mark, Meter, Span, Sticking, Time};
use std::sync::Arc;

/// One bar. Times inside it count from its first beat.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Its time signature.
    pub meter: Arc<Meter>,
    /// The groups under one beam from the start of its meter, where they are not those of the meter.
    pub beams: Option<Arc<[Time]>>,
    /// How long it is: less than the meter's length in a pickup bar or its complement.
    pub length: Time,
    /// Where in the meter it starts: zero, but for a pickup bar.
    pub offset: Time,
    /// Hands, or everything where hands and feet are one voice. Stems up.
    pub upper: Voice,
    /// Feet, where they are a voice of their own. Stems down.
    pub lower: Voice,
    /// Counting syllables under the bar, by time.
    pub counts: Vec<Syllable>,
    /// Sticking letters, by time.
    pub sticking: Vec<Sticking>,
    /// Foot letters, by time.
    pub pedalling: Vec<Sticking>,
    /// Free words under the notes, by time.
    pub words: Vec<Words>,
    /// Dynamics and hairpins, by time.
    pub dynamics: Vec<Dynamic>,
    /// What stands over the staff, by time.
    pub marks: Vec<Mark>,
    /// The phrase it begins in.
    pub phrase: Option<OpenPhrase>,
    /// What its player's own pages are to show of another player.
    pub cue: Option<Cue>,
    /// Small notes over its staff.
    pub small: Option<Arc<SmallNotes>>,
    /// A repeat begins here.
    pub repeat_start: bool,
    /// What closes the bar.
    pub closing: Closing,
    /// The bar was written `%` in every row that sounds in it: its notes are there, and it is
    /// engraved as a repeat sign.
    pub again: Option<Again>,
    /// Where it stands in the source.
    pub span: Span,
}

/// A cue that is asked for: what another player plays, to be shown where this one rests.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cue {
    /// The player's name, as printed.
    pub player: String,
    /// The notes from here on are shown, counted from the start of the bar.
    pub at: Time,
    /// Where it is written.
    pub span: Span,
}

/// Small notes over the staff of a bar, all at one height. Nobody's hands play them.
#[derive(Clone, Debug, PartialEq)]
pub struct SmallNotes {
    /// Whose notes they are, where they are a cue.
    pub player: Option<String>,
    /// What says which heads they have.
    pub kit: Arc<Kit>,
    /// A bar as long as the one under it, with one voice and nothing else.
    pub bar: Bar,
}

/// One of the bars for which a repeat sign stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Again {
    /// How many bars the sign repeats, and stands for: 1, 2 or 4.
    pub bars: u8,
    /// Which of them this bar is, from 0.
    pub part: u8,
}

/// What closes a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closing {
    /// A single line; the block's last bar gets a final barline.
    Single,
    /// A double line.
    Double,
    /// A repeat to the last start.
    Repeat {
        /// Times played in all, at least 1.
        times: u32,
        /// Whether the number was written and so is printed.
        counted: bool,
    },
}

/// One voice of one bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Voice {
    /// Its hits, by time, no two at the same time.
    pub hits: Vec<Hit>,
    /// How its beats are divided, by start, not overlapping. A stretch that no division covers is
    /// divided in plain halves of its beats. A division is in its reduced form: no coarser one has
    /// all its hits' starts and ends on its parts.
    pub divisions: Vec<Division>,
    /// It is silent while the other voice sounds, and shows a rest for the whole bar.
    pub bar_rest: bool,
}

impl Bar {
    /// A whole bar of a meter with nothing in it, which a single line closes.
    #[must_use]
    pub fn silent_of(meter: Arc<Meter>, span: Span) -> Self {
        Self {
            length: meter.length(),
            meter,
            beams: None,
            offset: Time::ZERO,
            upper: Voice::default(),
            lower: Voice::default(),
            counts: Vec::new(),
            sticking: Vec::new(),
            pedalling: Vec::new(),
            words: Vec::new(),
            dynamics: Vec::new(),
            marks: Vec::new(),
            phrase: None,
            cue: None,
            small: None,
            repeat_start: false,
            closing: Closing::Single,
            again: None,
            span,
        }
    }

    /// The groups of notes under one beam, in order and from the start of its meter.
    #[must_use]
    pub fn beam_groups(&self) -> Vec<Time> {
        self.beams.as_ref().map_or_else(|| self.meter.beam_groups(), |beams| beams.to_vec())
    }

    /// What it says of the form.
    pub fn form(&self) -> impl Iterator<Item = &FormMark> {
        self.marks.iter().filter_map(|mark| mark.kind.form())
    }

    /// Whether it begins a section with a letter.
    #[must_use]
    pub fn begins_section(&self) -> bool {
        self.form().any(|form| matches!(form, FormMark::Section(_)))
    }

    /// The passes of the ending that begins with it, and where they are written.
    #[must_use]
    pub fn ending(&self) -> Option<(&Passes, Span)> {
        self.marks.iter().find_map(|mark| match mark.kind.form()? {
            FormMark::Ending(passes) => Some((passes, mark.span)),
            FormMark::Section(_) | FormMark::Segno | FormMark::Coda | FormMark::Direction(_) => {
                None
            }
        })
    }

    /// Whether it is written in two voices, of which one may show no more than a rest.
    #[must_use]
    pub fn has_two_voices(&self) -> bool {
        !self.lower.hits.is_empty() || self.lower.bar_rest
    }
}

/// A counting syllable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Syllable {
    /// When.
    pub at: Time,
    /// What is said.
    pub text: String,
    /// Whether a note sounds there; a silent syllable is printed lighter.
    pub sounded: bool,
}

/// Free words under a note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    /// When.
    pub at: Time,
    /// The words.
    pub text: String,
    /// Where they are written.
    pub span: Span,
}

impl Bar {
    /// The same bar with every place in the source set to zero, so that two bars written in
    /// different ways are equal where they mean the same.
    #[must_use]
    pub fn without_spans(mut self) -> Self {
        let none = Span::default();
        self.span = none;
        let hits = self.upper.hits.iter_mut().chain(&mut self.lower.hits);
        hits.for_each(|hit| hit.set_span(none));
        self.sticking.iter_mut().chain(&mut self.pedalling).for_each(|s| s.span = none);
        self.words.iter_mut().for_each(|w| w.span = none);
        self.dynamics.iter_mut().for_each(|d| d.span = none);
        self.marks.iter_mut().for_each(|m| m.span = none);
        self.cue.iter_mut().for_each(|cue| cue.span = none);
        self.small = self.small.map(|small| {
            let bar = small.bar.clone().without_spans();
            Arc::new(SmallNotes { bar, ..SmallNotes::clone(&small) })
        });
        self
    }

    /// A time in the bar in beats of the time signature's lower number, from 1, exact: `1`, `3/2`.
    pub fn beat(&self, at: Time) -> Time {
        let beats = (self.offset + at).ratio(self.meter.unit());
        Time::new(*beats.numer() + *beats.denom(), *beats.denom())
    }

    /// Whether a repeat sign can stand for this bar: it has the notes of the bar before, and no
    /// letters or words that the other has not.
    pub(crate) fn repeats(&self, before: &Self) -> bool {
        let own = self.upper.hits.iter().chain(&self.lower.hits);
        let other = before.upper.hits.iter().chain(&before.lower.hits);
        let letters = |own: &[Sticking], other: &[Sticking]| {
            own.is_empty()
                || (own.len() == other.len()
                    && own.iter().zip(other).all(|(a, b)| {
                        a.at == b.at && a.hand == b.hand && a.grace == b.grace && a.other == b.other
                    }))
        };
        let words = self.words.is_empty()
            || (self.words.len() == before.words.len()
                && self
                    .words
                    .iter()
                    .zip(&before.words)
                    .all(|(a, b)| a.at == b.at && a.text == b.text));
        self.small.is_none()
            && self.meter == before.meter
            && self.length == before.length
            && self.upper.hits.len() == before.upper.hits.len()
            && self.upper.divisions == before.upper.divisions
            && self.lower.divisions == before.lower.divisions
            && self.lower.hits.len() == before.lower.hits.len()
            && own.zip(other).all(|(a, b)| a.is_like(b))
            && letters(&self.sticking, &before.sticking)
            && letters(&self.pedalling, &before.pedalling)
            && words
    }
}

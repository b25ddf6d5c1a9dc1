//! How a block comes in over another that goes on: at a place of its bar, over some instruments.

use super::accents;
use super::codes;
use super::library::Known;
use super::maker;
use super::phrase::Phrase;
use super::signature::signature;
use super::weave::{Over, weave};
use crate::interpret::request::{Entry, Request};
use crate::interpret::surroundings::Surroundings;
use crate::score::{Span, Time};
use crate::source::{Code, Diagnostics};
use std::sync::Arc;

/// A block that comes in at a place.
const EXAMPLE: &str = "crumbs from 2 &";

/// What goes on.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) name: &'a str,
    pub(super) phrase: &'a Phrase,
}

/// Lets blocks of a context come in.
pub(super) struct Entering<'a> {
    pub(super) request: &'a Request,
    pub(super) diagnostics: &'a mut Diagnostics,
}

impl Entering<'_> {
    /// A block as it is heard where it comes in over what goes on, which goes round from its first bar.
    pub(super) fn come_in(
        &mut self,
        entry: &Entry,
        (known, span): (&Known, Span),
        phrase: Phrase,
        ground: Option<Ground<'_>>,
    ) -> Option<Phrase> {
        if entry.from.is_none() && entry.over.is_empty() {
            return Some(phrase);
        }
        let name = &known.name;
        let Some(ground) = ground else {
            let message = format!("nothing is played before `{name}` that could go on");
            let mend = "put the groove before it, as `play: loft x3, crumbs from 2 &`";
            self.fault(codes::ENTRY_FIRST, span, &message, mend);
            return None;
        };
        let lead = phrase.pickup().is_some();
        if let (true, Some(from)) = (lead, &entry.from) {
            let message = format!("`{name}` has a pickup, which says where it comes in");
            let mend = "leave the place out, or write the fill without a pickup";
            self.fault(codes::ENTRY_PICKUP, from.span, &message, mend);
            return None;
        }
        let body = phrase.slice(usize::from(lead)..phrase.bars.len());
        let under = self.round(ground, &body, (name, span))?;
        let from = match &entry.from {
            None => Time::ZERO,
            Some(_) => self.place(entry, known, &body)?,
        };
        let over = Over { from, instruments: &entry.over };
        match weave(&under, &body, over) {
            Ok(woven) if lead => {
                let mut all = phrase.slice(0..1);
                all.append(&woven);
                Some(all)
            }
            Ok(woven) => Some(woven),
            Err(at) => {
                self.three_hands((name, span), &body, at);
                None
            }
        }
    }

    /// The time at which a block comes in.
    fn place(&mut self, entry: &Entry, known: &Known, body: &Phrase) -> Option<Time> {
        let from = entry.from.as_ref()?;
        let setup = maker::setup(&self.request.around, &known.keys_under(&self.request.keys));
        let around = Surroundings { setup: Arc::new(setup), ..self.request.around.clone() };
        let times = accents::times(&body.slice(0..1), (&from.places, EXAMPLE), &around);
        let at = match times {
            Ok(times) => times.last().copied()?,
            Err((span, message, mend)) => {
                self.fault(codes::ENTRY_PLACE, span, &message, &mend);
                return None;
            }
        };
        if body.notes.iter().all(|note| note.at < at) {
            let message = format!("`{}` plays nothing from `{}` on", known.name, from.said());
            let mend = "let it come in earlier";
            self.fault(codes::ENTRY_PLACE, from.span, &message, mend);
            return None;
        }
        Some(at)
    }

    /// Whole bars of what goes on, round from the first, as many as a block has.
    pub(super) fn round(
        &mut self,
        ground: Ground<'_>,
        body: &Phrase,
        (name, span): (&str, Span),
    ) -> Option<Phrase> {
        let phrase = ground.phrase;
        let whole: Vec<usize> = (0..phrase.bars.len())
            .filter(|index| phrase.bars.get(*index).is_some_and(|b| b.length == b.meter.length()))
            .collect();
        let mut round = Phrase::default();
        for (bar, index) in body.bars.iter().zip(whole.iter().cycle()) {
            let next = phrase.slice(*index..index + 1);
            if next.bars.iter().any(|own| own.meter != bar.meter) {
                let time = signature(&bar.meter);
                let message = format!(
                    "`{name}` is in {time} and `{}` is not, so it can't go on",
                    ground.name
                );
                let mend = "give both the same time, or let the fill follow whole";
                self.fault(codes::ENTRY_MISFIT, span, &message, mend);
                return None;
            }
            round.append(&next);
        }
        // A short last bar of the block hears no more of it than it has.
        let end = body.length();
        round.notes.retain(|note| note.at < end);
        for note in &mut round.notes {
            note.until = note.until.map(|until| until.min(end));
        }
        Some(round)
    }

    /// Tells that three hands would be needed in some bars, at a time from their start.
    pub(super) fn three_hands(&mut self, (name, span): (&str, Span), bars: &Phrase, at: Time) {
        let before = bars.beats().iter().filter(|(start, ..)| *start <= at).count();
        let beat =
            bars.beats().get(before.saturating_sub(1)).map_or(1, |(_, _, number)| number + 1);
        let message = format!("three hands would be needed at beat {beat} of `{name}`");
        let mend = "let fewer instruments go on, as `over kick`";
        self.fault(codes::ENTRY_HANDS, span, &message, mend);
    }

    fn fault(&mut self, code: Code, span: Span, message: &str, mend: &str) {
        let what = &self.request.what;
        self.diagnostics.error(span, format!("{what}: {message}")).code(code).mend(mend);
    }
}

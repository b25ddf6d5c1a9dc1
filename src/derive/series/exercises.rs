//! The exercises of a rule or of lists, each as music.

use super::arrange::{self, MOST_TRIED};
use super::count::{self, Arrangement};
use crate::derive::budget::{self, Spending};
use crate::derive::codes;
use crate::derive::compose::patterns;
use crate::derive::phrase::Phrase;
use crate::interpret::request::{Hands, MOST, Pattern, Request, Rule, Series};
use crate::interpret::setup::Setup;
use crate::score::kit::Limb;
use crate::score::{Hand, HitsRow, Placed, Span};
use crate::source::{Diagnostics, say};

/// Most beats that one pattern takes.
const MOST_BEATS: usize = 64;

/// Makes the exercises of one series.
pub(super) struct Exercises<'a> {
    pub(super) request: &'a Placed<Request>,
    pub(super) series: &'a Series,
    /// What holds for them.
    pub(super) setup: &'a Setup,
    pub(super) spending: &'a mut Spending,
    /// How many signs they come to so far.
    pub(super) made: u64,
    /// Where their rule is written.
    pub(super) span: Span,
    pub(super) diagnostics: &'a mut Diagnostics,
}

impl Exercises<'_> {
    /// All of them, and how many there are in words.
    pub(super) fn make(&mut self, steps: &mut Vec<String>) -> Option<Vec<Phrase>> {
        match &self.series.rule {
            Some(rule) => self.by_rule(rule, steps),
            None => self.of_lists(steps),
        }
    }

    /// Each pattern of the hands with each of the feet.
    fn of_lists(&mut self, steps: &mut Vec<String>) -> Option<Vec<Phrase>> {
        let silent = [Pattern::of_cells(vec![vec![None]])];
        let or_silent = |list: &'_ [Pattern]| match list {
            [] => silent.to_vec(),
            list => list.to_vec(),
        };
        let (hands, feet) = (or_silent(&self.series.hands), or_silent(&self.series.feet));
        let count = hands.len() * feet.len();
        if count > MOST {
            too_many(self.request, count as u64, self.span, self.diagnostics);
            return None;
        }
        let mut all = Vec::with_capacity(count);
        for hand in &hands {
            for foot in &feet {
                let rows = [(HitsRow::Limb(Limb::Hands), hand), (HitsRow::Limb(Limb::Feet), foot)];
                all.push(self.exercise(&rows, &[])?);
            }
        }
        steps.push(format!(
            "{} for the hands with {} for the feet: {}",
            say::several(hands.len(), "pattern"),
            say::several(feet.len(), "pattern"),
            say::several(count, "exercise")
        ));
        Some(all)
    }

    fn by_rule(&mut self, rule: &Rule, steps: &mut Vec<String>) -> Option<Vec<Phrase>> {
        let size = arrange::size(rule);
        if size > MOST_TRIED as u64 {
            too_many(self.request, size, self.span, self.diagnostics);
            return None;
        }
        let Some(mut all) = arrange::all(rule, self.series.order) else {
            let what = &self.request.what;
            self.diagnostics
                .error(self.span, format!("{what}: stickings have no order by neighbours"))
                .code(codes::SERIES_ORDER)
                .mend("write `order: easy`, or leave the line out");
            return None;
        };
        steps.push(format!("{} in all", say::several(all.len(), "arrangement")));
        self.keep_over_the_seam(rule, &mut all, steps)?;
        if self.series.once_round {
            count::once_round(&mut all);
            steps.push(format!(
                "without those that are an earlier one begun elsewhere: {}",
                say::several(all.len(), "exercise")
            ));
        }
        let most = self.series.most.filter(|_| self.series.playable.is_none());
        let made = all.len().min(most.unwrap_or(usize::MAX));
        if made > MOST {
            too_many(self.request, made as u64, self.span, self.diagnostics);
            return None;
        }
        let mut exercises = Vec::with_capacity(made);
        for arrangement in all.iter().take(made) {
            let (pattern, hands) = arrange::pattern(rule, arrangement, &self.request.around.kit);
            exercises.push(self.exercise(&[(HitsRow::Play, &pattern)], &hands)?);
        }
        Some(exercises)
    }

    /// Leaves out the stickings that have too many of one hand in a row where they begin again before the
    /// barline.
    fn keep_over_the_seam(
        &mut self,
        rule: &Rule,
        all: &mut Vec<Arrangement>,
        steps: &mut Vec<String>,
    ) -> Option<()> {
        let Rule::Stickings(Hands { notes, run, parts, .. }) = rule else { return Some(()) };
        let cells = self.setup.meter.beats().len().max(1) * (*parts).max(1);
        if arrange::times_to_fill(*notes, cells) == 1 {
            return Some(());
        }
        let before = all.len();
        all.retain(|pattern| count::over_the_seam(pattern) <= *run);
        if all.is_empty() && before > 0 {
            let what = &self.request.what;
            let message = format!(
                "{what}: played again and again, each sticking has more than {} of one hand in a row",
                say::number(*run)
            );
            self.diagnostics
                .error(self.span, message)
                .code(codes::STICKINGS_NONE)
                .mend("take an even number of notes, or let more of one hand follow each other");
            return None;
        }
        if all.len() < before {
            steps.push(format!(
                "without those that have more than {} in a row where they begin again: {}",
                say::number(*run),
                say::several(all.len(), "exercise")
            ));
        }
        Some(())
    }

    /// One exercise: its patterns again and again until a barline is met, and its hands as often.
    fn exercise(&mut self, rows: &[(HitsRow, &Pattern)], hands: &[Hand]) -> Option<Phrase> {
        let what = &self.request.what;
        let bar = self.setup.meter.beats().len().max(1);
        let beats = rows.iter().try_fold(bar, |all, (_, pattern)| {
            let beats = num_integer::lcm(all, pattern.beats().max(1));
            Some(beats).filter(|beats| *beats <= MOST_BEATS)
        });
        let Some(beats) = beats else {
            let message = format!(
                "{what}: its patterns meet a barline only after more than {MOST_BEATS} beats"
            );
            self.diagnostics
                .error(self.span, message)
                .code(codes::PATTERNS_TOO_LONG)
                .mend("write patterns of as many beats as a bar, or of a part of it");
            return None;
        };
        let times = rows.iter().map(|(_, pattern)| beats / pattern.beats().max(1)).max();
        let hands: Vec<Hand> = hands.repeat(times.unwrap_or(1));
        let phrase = patterns(rows, &hands, beats, &self.request.around, self.setup);
        self.made += budget::signs(&phrase);
        self.spending.allow(self.request, self.made)?;
        if phrase.notes.is_empty() {
            self.diagnostics
                .error(self.span, format!("{what}: an exercise of it has no notes"))
                .code(codes::EXERCISE_SILENT)
                .mend("write the letters of the kit as in a `play` row");
            return None;
        }
        Some(phrase)
    }
}

/// Reports a series that would never end.
pub(super) fn too_many(request: &Request, count: u64, span: Span, diagnostics: &mut Diagnostics) {
    let what = &request.what;
    let count = match count {
        n if n > MOST_TRIED as u64 => format!("more than {MOST_TRIED}"),
        n => n.to_string(),
    };
    diagnostics
        .error(span, format!("{what}: {count} exercises are too many; a series has at most {MOST}"))
        .code(codes::EXERCISES_TOO_MANY)
        .mend("take fewer notes, or write `at-most: 100`");
}

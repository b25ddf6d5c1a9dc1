//! Syllables to times.

use super::beat::Beat;
use super::counter::{Counter, named_grid};
use crate::interpret::codes;
use crate::interpret::divisions::{lcm, position};
use crate::score::Time;
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span, nearest};
use crate::syntax::tree::{CountGroup, Word};
use num_rational::Ratio;

/// Words a bracket may hold.
const MOST_WORDS: usize = 32;

/// Parts of a beat that no syllable is as fine as.
const FINER_THAN_ANY: i64 = 1024;

/// A spoken syllable: a place for one hit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slot {
    /// When, from the start of the meter.
    pub at: Time,
    /// The next point of its beat's own subdivision.
    pub end: Time,
    /// The word, where it stood in brackets and so is printed as written.
    pub text: Option<String>,
    /// Where it is written.
    pub span: Span,
    /// The index of its beat.
    pub beat: usize,
}

/// A count row of one bar, understood.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CountReading {
    /// Its syllables, by time.
    pub slots: Vec<Slot>,
    /// Whether something in it could not be understood.
    pub broken: bool,
}

/// Where the count has got to in the bar.
#[derive(Clone, Copy)]
pub(super) struct Spoken {
    pub(super) beat: usize,
    pub(super) part: Ratio<i64>,
}

/// What a count row is read for.
#[derive(Clone, Copy)]
pub(crate) struct CountPlace<'a> {
    pub(crate) place: RowBar<'a>,
    /// The time signature as it is written.
    pub(crate) meter: &'a str,
}

/// A bar of a count row that is being read.
#[derive(Default)]
struct CountProgress {
    reading: CountReading,
    now: Option<Spoken>,
    /// For each slot the subdivisions its word belongs to; none where it fits any.
    grids: Vec<Option<Vec<u32>>>,
}

impl Counter {
    /// Finds the times of the syllables of one bar, from a time of the meter on.
    pub(crate) fn read(
        &self,
        groups: &[&CountGroup],
        from: Time,
        place: CountPlace<'_>,
        diagnostics: &mut Diagnostics,
    ) -> CountReading {
        let mut progress = CountProgress { now: self.before(from), ..CountProgress::default() };
        for group in groups {
            let Some(first) = first_word(group) else { continue };
            match self.locate_group(group, first, progress.now) {
                Ok(spoken) => self.take(group, spoken, &mut progress, place, diagnostics),
                Err(miss) => {
                    self.report(miss, first, place, diagnostics);
                    progress.reading.broken = true;
                    match miss {
                        // What follows can still be placed.
                        Miss::Unknown => {}
                        // Every later word would be misplaced too.
                        Miss::Again | Miss::NoBeat => break,
                    }
                }
            }
        }
        let CountProgress { mut reading, grids, .. } = progress;
        self.finish(&mut reading, &grids, place, diagnostics);
        reading
    }

    /// What was last said where a bar begins at a time; nothing where it begins with its first beat.
    fn before(&self, from: Time) -> Option<Spoken> {
        let beat = self.beats.iter().rposition(|beat| beat.start < from)?;
        let own = self.beats.get(beat)?;
        let part = Ratio::from_integer(1).min((from - own.start).ratio(own.length));
        // What is said at the time itself comes later than this.
        Some(Spoken { beat, part: part - Ratio::new(1, FINER_THAN_ANY) })
    }

    /// The beat of a group, and for a word the part of the beat.
    fn locate_group(
        &self,
        group: &CountGroup,
        first: &Word,
        now: Option<Spoken>,
    ) -> Result<Spoken, Miss> {
        match group {
            CountGroup::Word(word) => self.locate(word, now),
            CountGroup::Division { .. } => match number(first) {
                Some(n) => self.numbered(n, now),
                None => self.beat_after(now),
            },
        }
    }

    /// Adds the slots of a group that is said at a place.
    fn take(
        &self,
        group: &CountGroup,
        spoken: Spoken,
        progress: &mut CountProgress,
        place: CountPlace<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let Some(beat) = self.beats.get(spoken.beat) else { return };
        let slots = &mut progress.reading.slots;
        match group {
            CountGroup::Word(word) => {
                let at = beat.start + beat.length * spoken.part;
                // The end is known once the whole beat has been read.
                slots.push(Slot { at, end: at, text: None, span: word.span, beat: spoken.beat });
                let free = number(word).is_some();
                progress.grids.push((!free).then(|| self.grids_of(beat, word, spoken.part)));
                progress.now = Some(spoken);
            }
            CountGroup::Division { words, span } => {
                if words.len() > MOST_WORDS {
                    let place = place.place;
                    diagnostics
                        .error(*span, format!("{place}: {} words in one beat", words.len()))
                        .code(codes::COUNT_TOO_FINE)
                        .mend("a beat takes at most 32 parts");
                    progress.reading.broken = true;
                } else {
                    self.divide(beat, spoken.beat, words, slots);
                    progress.grids.resize(slots.len(), None);
                }
                progress.now = Some(Spoken { beat: spoken.beat, part: Ratio::from_integer(1) });
            }
        }
    }

    fn divide(&self, beat: &Beat, index: usize, words: &[Word], slots: &mut Vec<Slot>) {
        let part = beat.length / words.len() as i64;
        let mut at = beat.start;
        for word in words {
            if word.value != "." {
                let text = Some(word.value.clone());
                slots.push(Slot { at, end: at + part, text, span: word.span, beat: index });
            }
            at += part;
        }
    }

    pub(super) fn locate(&self, word: &Word, now: Option<Spoken>) -> Result<Spoken, Miss> {
        if let Some(n) = number(word) {
            return self.numbered(n, now);
        }
        let later = |index: usize, after: Option<Ratio<i64>>| {
            let beat = self.beats.get(index)?;
            self.parts_of(beat, &word.value)
                .into_iter()
                .filter(|part| after.is_none_or(|after| *part > after))
                .min()
                .map(|part| Spoken { beat: index, part })
        };
        if !self.beats.iter().any(|beat| !self.parts_of(beat, &word.value).is_empty()) {
            return Err(Miss::Unknown);
        }
        let here = match now {
            Some(spoken) => later(spoken.beat, Some(spoken.part)),
            None => later(0, None),
        };
        let next = now.map_or(0, |spoken| spoken.beat + 1);
        here.or_else(|| later(next, None)).ok_or(Miss::NoBeat)
    }

    /// Where a word can fall in a beat. Fives and sevens are read only between brackets, since
    /// their words mean other parts elsewhere.
    pub(super) fn parts_of(&self, beat: &Beat, word: &str) -> Vec<Ratio<i64>> {
        self.system
            .places(beat.dotted, word)
            .into_iter()
            .filter(|(parts, index)| {
                parts % 5 != 0 && parts % 7 != 0 && named_grid(beat, *parts, *index).is_some()
            })
            .map(|(parts, index)| Ratio::new(index.into(), parts.into()))
            .collect()
    }

    /// The subdivisions in which a word is said on a part of a beat.
    fn grids_of(&self, beat: &Beat, word: &Word, part: Ratio<i64>) -> Vec<u32> {
        let places = self.system.places(beat.dotted, &word.value);
        let here =
            |(parts, index): &(u32, u32)| Ratio::new((*index).into(), (*parts).into()) == part;
        places.into_iter().filter(here).map(|(parts, _)| parts).collect()
    }

    pub(super) fn numbered(&self, n: u32, now: Option<Spoken>) -> Result<Spoken, Miss> {
        let from = now.map_or(0, |spoken| spoken.beat + 1);
        let later = self.beats.iter().skip(from).position(|beat| beat.number == n);
        match later {
            Some(ahead) => Ok(Spoken { beat: from + ahead, part: Ratio::from_integer(0) }),
            None if self.beats.iter().any(|beat| beat.number == n) => Err(Miss::Again),
            None => Err(Miss::NoBeat),
        }
    }

    pub(super) fn beat_after(&self, now: Option<Spoken>) -> Result<Spoken, Miss> {
        let beat = now.map_or(0, |spoken| spoken.beat + 1);
        if beat < self.beats.len() {
            Ok(Spoken { beat, part: Ratio::from_integer(0) })
        } else {
            Err(Miss::NoBeat)
        }
    }

    fn report(
        &self,
        miss: Miss,
        word: &Word,
        place: CountPlace<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let said = &word.value;
        let CountPlace { place, meter } = place;
        let before = Span::new(word.span.start(), word.span.start());
        let bar_begins = format!("put a `|` before `{said}` if a new bar begins there");
        match (miss, number(word)) {
            (Miss::Again, _) => {
                let message =
                    format!("{place}: `{said}` does not come later than the beat before it");
                diagnostics
                    .error(word.span, message)
                    .code(codes::COUNT_AGAIN)
                    .replace(before, "| ", bar_begins);
            }
            (Miss::NoBeat, Some(n)) => {
                let last = self.beats.iter().map(|b| b.number).max().unwrap_or(0);
                diagnostics
                    .error(word.span, format!("{place}: a bar of {meter} has no beat {n}"))
                    .code(codes::COUNT_NO_BEAT)
                    .mend(format!("its beats are counted from 1 to {last}"));
            }
            (Miss::NoBeat, None) => {
                let message = format!("{place}: no beat is left in a bar of {meter} for `{said}`");
                diagnostics
                    .error(word.span, message)
                    .code(codes::COUNT_PAST_BAR)
                    .replace(before, "| ", bar_begins);
            }
            (Miss::Unknown, _) => {
                let fault = diagnostics
                    .error(word.span, format!("{place}: `{said}` is not a counting syllable here"))
                    .code(codes::SYLLABLE_UNKNOWN);
                if let Some((text, mend)) = self.meant(said) {
                    fault.replace(word.span, text, mend);
                    return;
                }
                let known = self.vocabulary();
                let near = nearest(said, known.iter().map(String::as_str));
                match (near, self.other_way(said)) {
                    (Some(near), _) => {
                        fault.replace(word.span, &near, format!("did you mean `{near}`?"));
                    }
                    (None, Some(way)) => fault.mend(way),
                    (None, None) => fault.mend(format!(
                        "outside brackets this count has numbers and {}; any words may stand in brackets, which share one beat",
                        say::listed(known.iter().map(String::as_str))
                    )),
                }
            }
        }
    }

    /// What to write where a word belongs to the other way of counting compound time.
    fn other_way(&self, word: &str) -> Option<String> {
        let said = self.counts_units && !self.system.places(true, word).is_empty();
        said.then(|| {
            "here the numbers name eighths; write `compound: beats` to count dotted beats as `1 & a`"
                .to_owned()
        })
    }

    /// The syllables that can be said outside brackets, in order of their first use.
    fn vocabulary(&self) -> Vec<String> {
        let mut known: Vec<String> = Vec::new();
        for dotted in [false, true] {
            let Some(beat) = self.beats.iter().find(|b| b.dotted == dotted) else { continue };
            for word in self.system.spoken(dotted) {
                if !known.contains(&word) && !self.parts_of(beat, &word).is_empty() {
                    known.push(word);
                }
            }
        }
        known
    }

    /// Sets the ends of the syllables, beat by beat, and sees that the words of each beat divide it
    /// in the same way.
    fn finish(
        &self,
        reading: &mut CountReading,
        grids: &[Option<Vec<u32>>],
        place: CountPlace<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let place = place.place;
        let mut rest = grids;
        for slots in reading.slots.chunk_by_mut(|a, b| a.beat == b.beat) {
            let (own, later) = rest.split_at(slots.len().min(rest.len()));
            rest = later;
            let Some(beat) = slots.first().and_then(|s| self.beats.get(s.beat)) else { continue };
            if slots.iter().any(|s| s.text.is_some()) {
                continue;
            }
            let parts = slots
                .iter()
                .map(|s| position(s.at, beat.start, beat.length).1)
                .try_fold(1, lcm)
                .unwrap_or(1);
            let mut restricting = own.iter().flatten();
            let agree = restricting.next().is_none_or(|first| {
                first.iter().any(|grid| own.iter().flatten().all(|other| other.contains(grid)))
            });
            if !agree {
                let span = slots.iter().fold(slots[0].span, |all, s| all.join(s.span));
                diagnostics
                    .error(span, format!("{place}: these words divide beat {} in two ways", beat.number))
                    .code(codes::COUNT_DIVISIONS)
                    .mend("count the beat in one subdivision, or put its words in brackets, which share it equally");
                reading.broken = true;
            }
            for slot in slots {
                slot.end = slot.at + beat.length / i64::from(parts);
            }
        }
    }
}

/// Why a word has no time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Miss {
    /// The number has gone by already.
    Again,
    /// The bar is over, or never had such a beat.
    NoBeat,
    /// Not a syllable of the system.
    Unknown,
}

pub(super) fn number(word: &Word) -> Option<u32> {
    word.value.parse().ok()
}

/// The word that says where a group is; nothing for a silence.
fn first_word(group: &CountGroup) -> Option<&Word> {
    match group {
        CountGroup::Word(word) => Some(word).filter(|word| word.value != "."),
        CountGroup::Division { words, .. } => words.first(),
    }
}

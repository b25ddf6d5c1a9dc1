//! Places of a bar named as in a count row.

use super::beat::Beat;
use super::counter::Counter;
use super::read::{Miss, Spoken, number};
use crate::score::Time;
use crate::syntax::tree::Word;
use crate::syntax::values::strokes::AccentPlace;
use num_rational::Ratio;

/// A word that names no place of the bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct NoPlace {
    pub(crate) word: Word,
    pub(crate) why: Miss,
}

impl Counter {
    /// The times of places from the start of the meter: where a beat is named anywhere, read on from it as
    /// a count row is; else in every beat. `parts` says in how many parts a beat is divided.
    pub(crate) fn places(
        &self,
        places: &[AccentPlace],
        parts: &dyn Fn(&Beat) -> Option<u32>,
    ) -> Result<Vec<Time>, NoPlace> {
        let names_beat = places.iter().any(|place| match place {
            AccentPlace::Word(word) => number(word).is_some(),
            AccentPlace::Of(..) => true,
            AccentPlace::Division(words) => words.first().and_then(number).is_some(),
        });
        let mut now = None;
        let mut times = Vec::new();
        for place in places {
            match place {
                AccentPlace::Word(word) if names_beat => {
                    let at = self.locate(word, now).map_err(|why| no_place(word, why))?;
                    times.extend(self.time(at));
                    now = Some(at);
                }
                AccentPlace::Word(word) => times.extend(self.in_every_beat(word)?),
                AccentPlace::Of(word, beat) => times.push(self.of(word, *beat, parts)?),
                AccentPlace::Division(words) if names_beat => {
                    let Some(first) = words.first() else { continue };
                    let found = match number(first) {
                        Some(beat) => self.numbered(beat, now),
                        None => self.beat_after(now),
                    };
                    let at = found.map_err(|why| no_place(first, why))?;
                    times.extend(
                        self.beats.get(at.beat).into_iter().flat_map(|b| divided(b, words)),
                    );
                    now = Some(Spoken { part: Ratio::from_integer(1), ..at });
                }
                AccentPlace::Division(words) => {
                    times.extend(self.beats.iter().flat_map(|beat| divided(beat, words)));
                }
            }
        }
        Ok(times)
    }

    fn time(&self, at: Spoken) -> Option<Time> {
        self.beats.get(at.beat).map(|beat| beat.start + beat.length * at.part)
    }

    /// Where a syllable falls in each beat.
    fn in_every_beat(&self, word: &Word) -> Result<Vec<Time>, NoPlace> {
        let place = |beat: &Beat| {
            let part = self.parts_of(beat, &word.value).into_iter().min()?;
            Some(beat.start + beat.length * part)
        };
        let times: Vec<Time> = self.beats.iter().filter_map(place).collect();
        if times.is_empty() { Err(no_place(word, Miss::Unknown)) } else { Ok(times) }
    }

    /// A syllable of one beat, or a note of it that is counted by number.
    fn of(
        &self,
        word: &Word,
        beat: u32,
        parts: &dyn Fn(&Beat) -> Option<u32>,
    ) -> Result<Time, NoPlace> {
        let own = self.beats.iter().find(|own| own.number == beat);
        let own = own.ok_or_else(|| no_place(word, Miss::NoBeat))?;
        let by_number = number(word).and_then(|count| {
            let parts = parts(own)?;
            let index = count.checked_sub(1)?;
            let named = self.word(own, parts, index)? == word.value || count == 1;
            (named && index < parts).then(|| Ratio::new(index.into(), parts.into()))
        });
        let part = by_number.or_else(|| self.parts_of(own, &word.value).into_iter().min());
        let part = part.ok_or_else(|| no_place(word, Miss::Unknown))?;
        Ok(own.start + own.length * part)
    }

    /// The number of the last beat.
    pub(crate) fn last_number(&self) -> u32 {
        self.beats.iter().map(|beat| beat.number).max().unwrap_or(0)
    }
}

/// Where the words fall that share a beat.
fn divided(beat: &Beat, words: &[Word]) -> Vec<Time> {
    let part = beat.length / words.len().max(1) as i64;
    let said = (0..).zip(words).filter(|(_, word)| word.value != ".");
    said.map(|(index, _)| beat.start + part * index).collect()
}

fn no_place(word: &Word, why: Miss) -> NoPlace {
    NoPlace { word: word.clone(), why }
}

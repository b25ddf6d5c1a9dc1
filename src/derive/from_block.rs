//! A block's music as a phrase.

use super::attached::Attached;
use super::phrase::{Letter, LimbNote, NoteStrike, Phrase};
use crate::interpret::compose::BarFrame;
use crate::interpret::written::CrossedStrike;
use crate::score::division::{Across, BarlineSide};
use crate::score::kit::{InstrumentId, Limb};
use crate::score::{Bar, Division, Grace, GraceDrum, Hit, Kit, PlayerPart, Sticking, Time};
use std::collections::BTreeMap;

/// A block that is being read, bar by bar.
struct BlockReader<'a> {
    part: &'a PlayerPart,
    /// The kit in which its instruments are found by name.
    kit: &'a Kit,
    /// Hands and feet are set apart.
    apart: bool,
    /// Where the bar begins that is read.
    start: Time,
    bars: Vec<BarFrame>,
    notes: Vec<LimbNote>,
    /// Divided times: start, length and parts.
    spread: Vec<(Time, Time, i64)>,
    /// What stands in the bar before of groups of each voice that go on over the barline.
    begun: [Option<(Time, Time)>; 2],
    attached: Attached,
}

impl Phrase {
    /// The music of a player, its instruments found by name in `kit`. An error is the name of one
    /// that the kit does not have.
    pub(crate) fn of(part: &PlayerPart, kit: &Kit) -> Result<Self, String> {
        let apart = part.bars.iter().any(|bar| !bar.lower.hits.is_empty());
        let by_bar = apart && part.bars.iter().any(|bar| has_feet_above(part, bar));
        let (bars, notes, spread) = (Vec::new(), Vec::new(), Vec::new());
        let (start, attached) = (Time::ZERO, Attached::default());
        let begun = [None; 2];
        let mut reader =
            BlockReader { part, kit, apart, start, bars, notes, spread, begun, attached };
        for bar in &part.bars {
            reader.bar(bar)?;
        }
        let BlockReader { bars, notes, mut spread, attached, .. } = reader;
        let mut phrase = Self { bars, notes, spans: Vec::new(), attached, apart, by_bar };
        phrase.sort();
        // The whole of a group over a barline before its part in the first bar.
        spread.sort_by_key(|(at, length, _)| (*at, std::cmp::Reverse(*length)));
        phrase.spans = phrase.cut(&spread);
        phrase.unpin_over_barlines();
        Ok(phrase)
    }
}

impl Phrase {
    /// Moves strikes to the limb that a row gave them to, in place of the kit's.
    pub(crate) fn give_crossed(&mut self, crossed: &[CrossedStrike]) {
        if crossed.is_empty() {
            return;
        }
        let mut starts = vec![Time::ZERO];
        for bar in &self.bars {
            starts.extend(starts.last().map(|start| *start + bar.length));
        }
        let absolute = |c: &CrossedStrike| {
            starts.get(c.bar).map(|start| ((*start + c.at, c.instrument), c.limb))
        };
        let mut limbs: BTreeMap<(Time, InstrumentId), Limb> =
            crossed.iter().filter_map(absolute).collect();
        // Both limbs may strike one drum; where voices are apart they have it as the rows do.
        for note in &self.notes {
            for strike in &note.strikes {
                if limbs.get(&(note.at, strike.instrument)) == Some(&note.limb) {
                    limbs.remove(&(note.at, strike.instrument));
                }
            }
        }
        let mut notes: Vec<LimbNote> = Vec::with_capacity(self.notes.len());
        for note in std::mem::take(&mut self.notes) {
            for limb in [Limb::Hands, Limb::Feet] {
                let strikes = note.strikes.iter().filter(|strike| {
                    limb == *limbs.get(&(note.at, strike.instrument)).unwrap_or(&note.limb)
                });
                let strikes: Vec<NoteStrike> = strikes.copied().collect();
                let joined = notes.iter_mut().rev().take_while(|n| n.at == note.at);
                match joined.into_iter().find(|n| n.limb == limb) {
                    Some(joined) => joined.strikes.extend(strikes),
                    None if strikes.is_empty() && !(note.is_slash() && limb == note.limb) => {}
                    None => notes.push(LimbNote { limb, strikes, ..note.clone() }),
                }
            }
        }
        self.notes = notes;
        self.sort();
    }
}

impl BlockReader<'_> {
    fn bar(&mut self, bar: &Bar) -> Result<(), String> {
        let apart = self.apart && !has_feet_above(self.part, bar);
        let voices = [(&bar.upper, Limb::Hands), (&bar.lower, Limb::Feet)];
        for ((voice, own), number) in voices.into_iter().zip(0..) {
            for hit in &voice.hits {
                for limb in [Limb::Hands, Limb::Feet] {
                    let strikes = self.strikes(hit, limb, apart.then_some(own))?;
                    if !strikes.is_empty() || hit.is_slash() && limb == Limb::Hands {
                        self.note(bar, hit, (limb, strikes), apart);
                    }
                }
            }
            self.divisions(&voice.divisions, number);
        }
        self.attached.take(bar, self.start);
        self.bars.push(BarFrame {
            meter: bar.meter.clone(),
            offset: bar.offset,
            length: bar.length,
            closing: bar.closing,
            repeat_start: bar.repeat_start,
            same: false,
        });
        self.start += bar.length;
        Ok(())
    }

    /// Takes how a voice of a bar is divided. Both parts of a group over a barline are one.
    fn divisions(&mut self, divisions: &[Division], voice: usize) {
        let begun = self.begun.get_mut(voice).and_then(Option::take);
        for division in divisions {
            let (start, length) = (self.start + division.start, division.length);
            match (division.across, begun) {
                (Some(Across { side: BarlineSide::Before, .. }), _) => {
                    if let Some(begun) = self.begun.get_mut(voice) {
                        *begun = Some((start, length));
                    }
                    self.spread.push((start, length, division.parts.into()));
                }
                (Some(Across { number, .. }), Some((from, before))) => {
                    self.spread.push((from, before + length, number.into()));
                }
                (Some(_), None) | (None, _) => {
                    self.spread.push((start, length, division.parts.into()));
                }
            }
        }
    }

    /// What a limb strikes in a hit, of a voice that is one limb's or of one that both share.
    fn strikes(
        &self,
        hit: &Hit,
        limb: Limb,
        voice: Option<Limb>,
    ) -> Result<Vec<NoteStrike>, String> {
        let mut strikes = Vec::new();
        for strike in &hit.strikes {
            let Some(old) = self.part.kit.get(strike.instrument) else { continue };
            if limb != voice.unwrap_or(old.limb) {
                continue;
            }
            strikes.push(NoteStrike {
                instrument: self.kit.by_name(&old.name).ok_or(old.name.clone())?,
                accent: strike.accent,
                ghost: strike.ghost,
                choked: strike.choked,
            });
        }
        Ok(strikes)
    }

    /// Grace notes on the instruments of the kit the phrase is read for; one that this kit does not have is on
    /// the drum of its hit.
    fn grace(&self, grace: Grace) -> Grace {
        let other = |drum: &GraceDrum| match drum {
            GraceDrum::Same => None,
            GraceDrum::Other(id) => self.kit.by_name(&self.part.kit.get(*id)?.name),
        };
        let drums: Option<Vec<InstrumentId>> = grace.drums().iter().map(other).collect();
        drums.map_or_else(|| Grace::same(grace.count()), Grace::on)
    }

    /// Adds what a limb plays in a hit, or lets its note before go on.
    fn note(
        &mut self,
        bar: &Bar,
        hit: &Hit,
        (limb, strikes): (Limb, Vec<NoteStrike>),
        apart: bool,
    ) {
        let at = self.start + hit.at;
        let until = hit.until.map(|until| self.start + until);
        if hit.continued {
            if let Some(before) = self.notes.iter_mut().rev().find(|n| n.limb == limb) {
                before.until = until;
                before.tied = hit.tied;
            }
            return;
        }
        let ornamented =
            limb == Limb::Hands || apart || self.notes.last().is_none_or(|n| n.at != at);
        let letters = match limb {
            Limb::Hands => &bar.sticking,
            Limb::Feet => &bar.pedalling,
        };
        self.notes.push(LimbNote {
            at,
            until,
            limb,
            strikes,
            grace: if ornamented { self.grace(hit.grace) } else { Grace::default() },
            strokes: if ornamented { hit.strokes } else { 0 },
            buzz: ornamented && hit.buzz,
            touch: hit.touch,
            tied: hit.tied,
            letter: letter(letters, hit.at),
        });
    }
}

/// Whether a bar of one voice has what feet play.
fn has_feet_above(part: &PlayerPart, bar: &Bar) -> bool {
    let mut strikes = bar.upper.hits.iter().flat_map(|hit| &hit.strikes);
    let foot = |id| part.kit.get(id).is_some_and(|i| i.limb == Limb::Feet);
    bar.lower.hits.is_empty() && strikes.any(|strike| foot(strike.instrument))
}

fn letter(letters: &[Sticking], at: Time) -> Option<Letter> {
    let found = letters.binary_search_by_key(&at, |s| s.at).ok()?;
    let s = letters.get(found)?;
    Some(Letter { hand: s.hand, grace: s.grace.clone(), other: s.other })
}

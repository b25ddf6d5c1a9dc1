//! Words of a `mark` row.

use super::note;
use super::number::figures;
use super::swing::WrittenSwing;
use super::tempo::WrittenTempo;
use crate::score::Time;
use crate::score::mark::{Back, Direction, TempoChange, Until};
use crate::score::settings::Swing;
use crate::source::nearest;
use crate::syntax::grammar::{Rule, Token, is_value, one_token, value_tokens};

/// Words offered when one is misspelt.
const WORDS: [&str; 27] = [
    "segno",
    "coda",
    "fine",
    "fermata",
    "swing",
    "straight",
    "tempo",
    "dc",
    "ds",
    "dc-al-fine",
    "ds-al-coda",
    "da-capo",
    "da-capo-al-fine",
    "da-capo-al-coda",
    "dal-segno",
    "dal-segno-al-fine",
    "dal-segno-al-coda",
    "breath",
    "caesura",
    "new-line",
    "new-page",
    "turn",
    "phrase",
    "end-phrase",
    "rit",
    "accel",
    "a-tempo",
];

/// Other words for marks that have one name, without points and hyphens and in small letters.
const MEANT: [(&str, &str); 9] = [
    ("ritard", "rit"),
    ("ritardando", "rit"),
    ("rall", "rit"),
    ("rallentando", "rit"),
    ("slower", "rit"),
    ("accelerando", "accel"),
    ("stringendo", "accel"),
    ("faster", "accel"),
    ("tempoprimo", "a-tempo"),
];

/// Most passes an ending can name.
const MOST_PASSES: u32 = 99;

/// The highest number of a phrase.
const MOST_PHRASES: u32 = 99;

/// One mark as written.
#[derive(Clone, Debug, PartialEq)]
pub enum WrittenMark {
    /// A section: a capital, and a number of one or two figures or none.
    Section(String),
    /// An ending and the passes it is played on, each from 1 to 99; at least one.
    Ending(Vec<u32>),
    /// Segno.
    Segno,
    /// Coda.
    Coda,
    /// Where to go from here, or where to end.
    Direction(Direction),
    /// A fermata.
    Fermata,
    /// A breath.
    Breath,
    /// A break in time.
    Caesura,
    /// A line of music begins here.
    NewLine {
        /// Asked for; else no more than a good place.
        asked: bool,
    },
    /// A gradual change of the tempo.
    Gradual(TempoChange),
    /// The tempo before it again.
    ATempo,
    /// A phrase begins, with its number from 1 to 99 or none.
    Phrase(Option<u32>),
    /// A phrase is over.
    EndPhrase,
    /// A page begins here.
    NewPage,
    /// The page may be turned after the bar.
    Turn,
    /// A new feel.
    Feel(WrittenSwing),
    /// A new tempo.
    Tempo(WrittenTempo),
    /// What was the one note value is now as long as the other.
    Modulation {
        /// The value before, of a whole note.
        was: Time,
        /// The value from here on, of a whole note.
        now: Time,
    },
    /// Words to be printed.
    Words(String),
}

/// Why a word is no mark.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrongMark {
    /// It has a `=` and is no tempo, feel or modulation.
    Change,
    /// There is no such mark; the one that was most likely meant.
    Unknown(Option<String>),
}

impl WrittenMark {
    /// Reads one mark; of words in quotes only directions are more than words.
    ///
    /// # Errors
    /// Where a word that is not quoted is no mark.
    pub fn read(word: &str, quoted: bool) -> Result<Self, WrongMark> {
        let letters = word.chars().filter(|c| c.is_alphanumeric());
        let plain: String = letters.flat_map(char::to_lowercase).collect();
        let name = one_token(Rule::mark_name_value, &plain).map(|token| token.as_rule());
        let direction = name.and_then(direction).map(Self::Direction);
        if quoted {
            return Ok(direction.unwrap_or_else(|| Self::Words(word.to_owned())));
        }
        if let Some(direction) = direction {
            return Ok(direction);
        }
        if is_value(Rule::mark_section_value, word) {
            return Ok(Self::Section(word.to_owned()));
        }
        if let Some(ending) = ending(word) {
            return Ok(ending);
        }
        if let Some(sign) = name.and_then(|name| sign(name, word)) {
            return Ok(sign);
        }
        match value_tokens(Rule::mark_change_value, word) {
            Some(sides) => change(sides).ok_or(WrongMark::Change),
            None => {
                let meant = MEANT.iter().find(|(other, _)| *other == plain);
                let near = meant.map(|(_, meant)| (*meant).to_owned());
                Err(WrongMark::Unknown(near.or_else(|| nearest(word, WORDS))))
            }
        }
    }
}

fn direction(name: Rule) -> Option<Direction> {
    let jump = |back, until, in_full| Some(Direction::Jump { back, until, in_full });
    match name {
        Rule::fine => Some(Direction::Fine),
        Rule::to_coda => Some(Direction::ToCoda),
        Rule::dc => jump(Back::Start, Until::End, false),
        Rule::dc_al_fine => jump(Back::Start, Until::Fine, false),
        Rule::dc_al_coda => jump(Back::Start, Until::Coda, false),
        Rule::ds => jump(Back::Segno, Until::End, false),
        Rule::ds_al_fine => jump(Back::Segno, Until::Fine, false),
        Rule::ds_al_coda => jump(Back::Segno, Until::Coda, false),
        Rule::da_capo => jump(Back::Start, Until::End, true),
        Rule::da_capo_al_fine => jump(Back::Start, Until::Fine, true),
        Rule::da_capo_al_coda => jump(Back::Start, Until::Coda, true),
        Rule::dal_segno => jump(Back::Segno, Until::End, true),
        Rule::dal_segno_al_fine => jump(Back::Segno, Until::Fine, true),
        Rule::dal_segno_al_coda => jump(Back::Segno, Until::Coda, true),
        _ => None,
    }
}

fn sign(name: Rule, word: &str) -> Option<WrittenMark> {
    Some(match name {
        Rule::segno => WrittenMark::Segno,
        Rule::coda => WrittenMark::Coda,
        Rule::fermata => WrittenMark::Fermata,
        Rule::mark_straight => WrittenMark::Feel(WrittenSwing::Straight),
        Rule::rit => WrittenMark::Gradual(TempoChange::Slower),
        Rule::accel => WrittenMark::Gradual(TempoChange::Faster),
        Rule::a_tempo => WrittenMark::ATempo,
        Rule::breath => WrittenMark::Breath,
        Rule::caesura => WrittenMark::Caesura,
        Rule::new_line => WrittenMark::NewLine { asked: !word.ends_with('?') },
        Rule::phrase => WrittenMark::Phrase(None),
        Rule::end_phrase => WrittenMark::EndPhrase,
        Rule::new_page => WrittenMark::NewPage,
        Rule::page_turn => WrittenMark::Turn,
        Rule::mark_swing => WrittenMark::Feel(WrittenSwing::Swung(Swing {
            unit: Time::new(1, 8),
            long: 2,
            short: 1,
        })),
        _ => return None,
    })
}

/// `1.` to 1; `1.,2.` and `1,2.` to 1 and 2; `1.-3.` to 1, 2 and 3.
fn ending(word: &str) -> Option<WrittenMark> {
    let mut all: Vec<u32> = Vec::new();
    for passes in value_tokens(Rule::mark_ending_value, word)? {
        let mut passes = passes
            .into_inner()
            .map(|n| figures(&n).filter(|n: &u32| (1..=MOST_PASSES).contains(n)));
        let first = passes.next()??;
        let last = passes.next().unwrap_or(Some(first))?;
        all.extend(first..=last);
    }
    (!all.is_empty()).then_some(WrittenMark::Ending(all))
}

/// What stands on both sides of a `=`.
fn change<'a>(mut sides: impl Iterator<Item = Token<'a>>) -> Option<WrittenMark> {
    let (changed, becomes) = (sides.next()?, sides.next()?);
    let (changed, becomes) = (changed.as_str(), becomes.as_str());
    if let (Some(was), Some(now)) = (note::modulated(changed), note::modulated(becomes)) {
        return Some(WrittenMark::Modulation { was, now });
    }
    match changed.to_lowercase().as_str() {
        "phrase" => {
            let number = becomes.parse().ok().filter(|number| (1..=MOST_PHRASES).contains(number));
            number.map(|number| WrittenMark::Phrase(Some(number)))
        }
        "tempo" => WrittenTempo::read(becomes).map(WrittenMark::Tempo),
        "swing" => WrittenSwing::read(becomes).map(WrittenMark::Feel),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn jump(back: Back, until: Until) -> WrittenMark {
        WrittenMark::Direction(Direction::Jump { back, until, in_full: false })
    }

    fn mark(word: &str) -> Option<WrittenMark> {
        WrittenMark::read(word, false).ok()
    }

    #[test]
    fn marks_of_the_guide() {
        assert_eq!(mark("A"), Some(WrittenMark::Section("A".into())));
        assert_eq!(mark("B12"), Some(WrittenMark::Section("B12".into())));
        assert_eq!(mark("1."), Some(WrittenMark::Ending(vec![1])));
        assert_eq!(mark("1.-3."), Some(WrittenMark::Ending(vec![1, 2, 3])));
        assert_eq!(mark("1,3."), Some(WrittenMark::Ending(vec![1, 3])));
        assert_eq!(mark("dc-al-fine"), Some(jump(Back::Start, Until::Fine)));
        let in_full = |back, until| {
            Some(WrittenMark::Direction(Direction::Jump { back, until, in_full: true }))
        };
        assert_eq!(mark("da-capo-al-coda"), in_full(Back::Start, Until::Coda));
        assert_eq!(mark("dal-segno-al-fine"), in_full(Back::Segno, Until::Fine));
        assert_eq!(mark("Fine"), Some(WrittenMark::Direction(Direction::Fine)));
        assert_eq!(mark("new-line?"), Some(WrittenMark::NewLine { asked: false }));
        assert_eq!(mark("rit."), Some(WrittenMark::Gradual(TempoChange::Slower)));
        assert_eq!(mark("accel"), Some(WrittenMark::Gradual(TempoChange::Faster)));
        assert_eq!(mark("a-tempo"), Some(WrittenMark::ATempo));
        assert_eq!(mark("straight"), Some(WrittenMark::Feel(WrittenSwing::Straight)));
        assert_eq!(
            mark("triplet-eighth=eighth"),
            Some(WrittenMark::Modulation { was: Time::new(1, 12), now: Time::new(1, 8) })
        );
        assert!(matches!(mark("tempo=120"), Some(WrittenMark::Tempo(t)) if t.per_minute == 120.0));
        assert!(matches!(mark("swing=sixteenths"), Some(WrittenMark::Feel(_))));
    }

    #[test]
    fn words_in_quotes_are_words_or_directions() {
        let quoted = |words: &str| WrittenMark::read(words, true);
        assert_eq!(quoted("softly"), Ok(WrittenMark::Words("softly".into())));
        assert_eq!(quoted("D.S. al Coda"), Ok(jump(Back::Segno, Until::Coda)));
        assert_eq!(quoted("A"), Ok(WrittenMark::Words("A".into())));
    }

    #[test]
    fn what_is_no_mark() {
        let wrong = |word: &str| WrittenMark::read(word, false);
        assert_eq!(wrong("segnoo"), Err(WrongMark::Unknown(Some("segno".into()))));
        assert_eq!(wrong("louder"), Err(WrongMark::Unknown(None)));
        assert_eq!(wrong("rall."), Err(WrongMark::Unknown(Some("rit".into()))));
        assert_eq!(wrong("0."), Err(WrongMark::Unknown(None)));
        assert_eq!(wrong("tempo=fast"), Err(WrongMark::Change));
    }
}

//! The words of a `mark` row.

use super::values;
use crate::score::mark::Passes;
use crate::score::{MarkKind, Meter};
use crate::syntax::values::mark::{WrittenMark, WrongMark};

/// What may be written where a change of tempo or feel can't be read.
const CHANGES: &str = "write a new tempo as `tempo=120`, a new feel as `swing=sixteenths`, a metric modulation with a note value on each side, as `eighth=quarter`, the number of a phrase, 1 to 99, as `phrase=2`";
/// What may be written at all.
const MARKS: &str = "write a section letter (`A`), an ending (`1.`), `segno`, `coda`, `fine`, `dc`, `ds`, `dc-al-fine`, `ds-al-coda`, `fermata`, `breath`, `caesura`, `swing`, `straight`, `tempo=120`, `rit`, `accel`, `a-tempo`, `eighth=quarter`, `phrase`, `end-phrase`, `new-line`, `new-page` or `turn`; words to be printed go in quotes";

/// Reads one mark. An error says what may be written.
pub(crate) fn read(word: &str, quoted: bool, meter: &Meter) -> Result<MarkKind, String> {
    Ok(match WrittenMark::read(word, quoted).map_err(|wrong| help(&wrong))? {
        WrittenMark::Section(letter) => MarkKind::Section(letter),
        WrittenMark::Ending(passes) => MarkKind::Ending(Passes::new(passes)),
        WrittenMark::Segno => MarkKind::Segno,
        WrittenMark::Coda => MarkKind::Coda,
        WrittenMark::Direction(direction) => MarkKind::Direction(direction),
        WrittenMark::Fermata => MarkKind::Fermata,
        WrittenMark::Gradual(change) => MarkKind::Gradual(change),
        WrittenMark::ATempo => MarkKind::ATempo,
        WrittenMark::Breath => MarkKind::Breath,
        WrittenMark::Caesura => MarkKind::Caesura,
        WrittenMark::NewLine { asked } => MarkKind::NewLine { asked },
        WrittenMark::Phrase(number) => MarkKind::Phrase(number),
        WrittenMark::EndPhrase => MarkKind::EndPhrase,
        WrittenMark::NewPage => MarkKind::NewPage,
        WrittenMark::Turn => MarkKind::Turn,
        WrittenMark::Feel(feel) => values::swing(feel).map_or(MarkKind::Straight, MarkKind::Swing),
        WrittenMark::Tempo(tempo) => MarkKind::Tempo(values::metronome(&tempo, meter)),
        WrittenMark::Modulation { was, now } => MarkKind::Modulation { was, now },
        // A figure in quotes numbers the exercise that begins there.
        WrittenMark::Words(words) => match words.parse::<u32>() {
            Ok(number) if number.to_string() == words => MarkKind::Number(number),
            Ok(_) | Err(_) => MarkKind::Words(words),
        },
    })
}

fn help(wrong: &WrongMark) -> String {
    match wrong {
        WrongMark::Change => CHANGES.to_owned(),
        WrongMark::Unknown(Some(near)) => {
            format!("did you mean `{near}`? words to be printed go in quotes")
        }
        WrongMark::Unknown(None) => MARKS.to_owned(),
    }
}

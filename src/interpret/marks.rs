//! The words of a `mark` row.

use super::values;
use crate::score::mark::{FeelMark, FormMark, LayoutMark, NoteMark, Passes, PhraseMark, TempoMark};
use crate::score::{MarkKind, Meter};
use crate::syntax::values::mark::{WrittenMark, WrongMark};

/// What may be written where a change of tempo or feel can't be read.
const CHANGES: &str = "write a new tempo as `tempo=120`, a new feel as `swing=sixteenths`, a metric modulation with a note value on each side, as `eighth=quarter`, the number of a phrase, 1 to 99, as `phrase=2`";
/// What may be written at all.
const MARKS: &str = "write a section letter (`A`), an ending (`1.`), `segno`, `coda`, `fine`, `dc`, `ds`, `dc-al-fine`, `ds-al-coda`, `fermata`, `breath`, `caesura`, `swing`, `straight`, `tempo=120`, `rit`, `accel`, `a-tempo`, `eighth=quarter`, `phrase`, `end-phrase`, `new-line`, `new-page` or `turn`; words to be printed go in quotes";

/// Reads one mark. An error says what may be written.
pub(crate) fn read(word: &str, quoted: bool, meter: &Meter) -> Result<MarkKind, String> {
    Ok(match WrittenMark::read(word, quoted).map_err(|wrong| help(&wrong))? {
        WrittenMark::Section(letter) => MarkKind::Form(FormMark::Section(letter)),
        WrittenMark::Ending(passes) => MarkKind::Form(FormMark::Ending(Passes::new(passes))),
        WrittenMark::Segno => MarkKind::Form(FormMark::Segno),
        WrittenMark::Coda => MarkKind::Form(FormMark::Coda),
        WrittenMark::Direction(direction) => MarkKind::Form(FormMark::Direction(direction)),
        WrittenMark::Fermata => MarkKind::Note(NoteMark::Fermata),
        WrittenMark::Gradual(change) => MarkKind::Tempo(TempoMark::Gradual(change)),
        WrittenMark::ATempo => MarkKind::Tempo(TempoMark::ATempo),
        WrittenMark::Breath => MarkKind::Note(NoteMark::Breath),
        WrittenMark::Caesura => MarkKind::Note(NoteMark::Caesura),
        WrittenMark::NewLine { asked } => MarkKind::Layout(LayoutMark::NewLine { asked }),
        WrittenMark::Phrase(number) => MarkKind::Phrase(PhraseMark::Begins(number)),
        WrittenMark::EndPhrase => MarkKind::Phrase(PhraseMark::Ends),
        WrittenMark::NewPage => MarkKind::Layout(LayoutMark::NewPage),
        WrittenMark::Turn => MarkKind::Layout(LayoutMark::Turn),
        WrittenMark::Feel(feel) => values::swing(feel)
            .map_or(MarkKind::Feel(FeelMark::Straight), |swing| {
                MarkKind::Feel(FeelMark::Swing(swing))
            }),
        WrittenMark::Tempo(tempo) => {
            MarkKind::Tempo(TempoMark::New(values::metronome(&tempo, meter)))
        }
        WrittenMark::Modulation { was, now } => MarkKind::Tempo(TempoMark::Modulation { was, now }),
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

//! What the letters of a row mean, and the instruments that rows are named after.

use crate::interpret::codes;
use crate::score::kit::{InstrumentId, Limb, Opening};
use crate::score::{Kit, RowWord, row_meant};
use crate::source::{Diagnostics, Span, nearest, say};
use crate::syntax::tree::Strike;

/// What the letters of a row mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum LetterMeaning {
    /// `play`: letters of the kit; the instrument says which limb plays it.
    Play,
    /// `hands` or `feet`: letters of the kit, played by this limb.
    Limb(Limb),
    /// An instrument's row: `x`, `g`, and in a hi-hat row `o` and `h`.
    Instrument(InstrumentId),
}

impl LetterMeaning {
    /// The instrument of a letter; nothing where it names none.
    pub(crate) fn instrument(self, letter: char, kit: &Kit) -> Option<InstrumentId> {
        match self {
            Self::Play | Self::Limb(_) => kit.by_letter(letter),
            Self::Instrument(id) => {
                let hat = kit.get(id).is_some_and(|i| i.is_closed_hat());
                match letter {
                    'x' | 'g' => Some(id),
                    'o' if hat => kit.hat(Opening::Open),
                    'h' if hat => kit.hat(Opening::Half),
                    _ => None,
                }
            }
        }
    }

    /// The limb that plays an instrument in the row.
    pub(crate) fn limb(self, instrument: InstrumentId, kit: &Kit) -> Limb {
        match self {
            Self::Limb(limb) => limb,
            Self::Play | Self::Instrument(_) => kit.limb(instrument),
        }
    }

    /// Whether a letter stands for a ghost note.
    pub(crate) fn is_ghost(self, letter: char) -> bool {
        match self {
            Self::Play | Self::Limb(_) => false,
            Self::Instrument(_) => letter == 'g',
        }
    }

    /// Reports a letter that names no instrument in a row.
    pub(crate) fn report(
        self,
        strike: &Strike,
        row: &str,
        kit: &Kit,
        diagnostics: &mut Diagnostics,
    ) {
        let letter = strike.letter;
        match self {
            Self::Play | Self::Limb(_) => {
                let letters = kit.instruments.iter();
                let letters = letters.filter_map(|i| Some(format!("`{}` {}", i.letter?, i.name)));
                let letters: Vec<String> = letters.collect();
                let fault = diagnostics
                    .error(strike.span, format!("`{row}`: this kit has no letter `{letter}`"))
                    .code(codes::KIT_LETTER_UNKNOWN);
                if letter == 'g' {
                    fault.mend("`g` is a ghost note in the row of one instrument; here it is the drum's letter in brackets, as `(s)`");
                    return;
                }
                fault.mend(format!(
                    "its letters are {}; a `kit` block adds others",
                    letters.join(", ")
                ));
            }
            Self::Instrument(id) => {
                let hat = kit.get(id).is_some_and(|i| i.is_closed_hat());
                let message =
                    format!("`{row}`: `{letter}` means nothing in the row of one instrument");
                diagnostics
                    .error(strike.span, message)
                    .code(codes::ROW_LETTER_UNKNOWN)
                    .mend(letters_of_row(letter, hat));
            }
        }
    }
}

/// The letters that the row of an instrument has, told where another stands.
fn letters_of_row(letter: char, hat: bool) -> &'static str {
    match letter {
        'o' | 'h' => "only the `hat` row has `o` and `h`; write `x` for a hit",
        _ if hat => {
            "write `x` for a closed hit, `o` for an open one, `h` for a half-open one, `g` for a ghost note"
        }
        _ => {
            "write `x` for a hit, `X` for an accent, `g` for a ghost note; letters of the kit go in a `play` row"
        }
    }
}

/// The row of the instrument whose letter a name is.
fn letter_of_row<'k>(kit: &'k Kit, name: &str) -> Option<&'k str> {
    let mut letters = name.chars();
    let letter = letters.next().filter(|_| letters.next().is_none())?;
    let id = kit.by_letter(letter.to_ascii_lowercase())?;
    kit.get(id).map(|instrument| instrument.name.as_str())
}

/// The instrument of a row's name; a fault where there is none, and the one that was surely meant.
pub(crate) fn instrument_of_row(
    kit: &Kit,
    name: &str,
    span: Span,
    diagnostics: &mut Diagnostics,
) -> Option<InstrumentId> {
    let found = kit.by_name(name);
    if found.is_none() {
        let instruments = kit.instruments.iter().filter(|i| i.letter.is_some());
        let instruments: Vec<&str> = instruments.map(|i| i.name.as_str()).collect();
        let rows = RowWord::words();
        let fault = diagnostics
            .error(span, format!("there is no row or instrument `{name}`"))
            .code(codes::INSTRUMENT_UNKNOWN);
        let short = row_meant(name).filter(|row| kit.by_name(row).is_some());
        let letter = short.is_none().then(|| letter_of_row(kit, name)).flatten();
        if let Some(row) = short.or(letter) {
            fault.replace(span, row, format!("write `{row}`"));
            return kit.by_name(row);
        }
        match nearest(name, rows.iter().copied().chain(instruments.iter().copied())) {
            Some(near) => fault.replace(span, &near, format!("did you mean `{near}`?")),
            None => fault.mend(format!(
                "rows are {} or an instrument of the kit: {}",
                rows.map(|row| format!("`{row}`")).join(", "),
                say::listed(instruments)
            )),
        }
    }
    found
}

//! What is left blank to be filled in by hand.

use super::list::parts;
use crate::score::printing::{Blank, BlankNotes};
use crate::syntax::Piece;

/// Reads `counts`, `sticking`, `notes`, `every second bar`, several of them with commas, or `none`.
pub fn blank(text: &str) -> Option<Blank> {
    let mut blank = Blank::default();
    let said = parts(Piece { text, start: 0 });
    for part in &said {
        match part.text.split_whitespace().collect::<Vec<_>>().join(" ").as_str() {
            "counts" => blank.counts = true,
            "sticking" => blank.sticking = true,
            "notes" if blank.notes == BlankNotes::None => blank.notes = BlankNotes::All,
            "every second bar" if blank.notes == BlankNotes::None => {
                blank.notes = BlankNotes::EverySecondBar;
            }
            "none" if said.len() == 1 => {}
            _ => return None,
        }
    }
    Some(blank)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_things_may_be_blank() {
        let both = Blank { counts: true, sticking: true, notes: BlankNotes::None };
        assert_eq!(blank("counts, sticking"), Some(both));
        let second = Blank { notes: BlankNotes::EverySecondBar, ..Blank::default() };
        assert_eq!(blank("every  second bar"), Some(second));
        assert_eq!(blank("none"), Some(Blank::default()));
        for text in ["", "none, counts", "notes, every second bar", "bars"] {
            assert_eq!(blank(text), None, "{text}");
        }
    }
}

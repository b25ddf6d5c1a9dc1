//! Cells and letters as they are written.

use super::tree::{Cell, CellKind, Hit, StickCell, StickKind, WrittenGrace};
use crate::score::{Accent, Hand};

/// A cell of a row of hits.
pub fn cell(cell: &Cell) -> String {
    match &cell.kind {
        CellKind::Silence => ".".to_owned(),
        CellKind::Hold => "-".to_owned(),
        CellKind::TiedHold => "_".to_owned(),
        CellKind::Slash => "/".to_owned(),
        CellKind::Hit(own) => hit(own),
        CellKind::Split(cells) => format!("[{}]", cells.iter().map(self::cell).collect::<String>()),
    }
}

fn hit(hit: &Hit) -> String {
    let strikes = hit.strikes.iter().map(|strike| {
        let letter = match strike.accent {
            Accent::None => strike.letter.to_string(),
            Accent::Accent => strike.letter.to_ascii_uppercase().to_string(),
            Accent::Marcato => format!("^{}", strike.letter),
        };
        if strike.ghost { format!("({letter})") } else { letter }
    });
    let mut text = match &hit.grace {
        WrittenGrace::Ticks(count) => "'".repeat((*count).into()),
        WrittenGrace::Letters(letters) => {
            format!("{{{}}}", letters.iter().map(|letter| letter.value).collect::<String>())
        }
    };
    text.push_str(&strikes.collect::<Vec<_>>().join("+"));
    text.push_str(&"/".repeat(hit.strokes.into()));
    if hit.buzz {
        text.push('~');
    }
    if let Some(roll) = hit.touch.roll {
        text.push_str(&roll.to_string());
    }
    let touch = hit.touch;
    let signs =
        [(hit.choked, '!'), (touch.staccato, ','), (touch.tenuto, '='), (touch.unclear, '?')];
    text.extend(signs.into_iter().filter(|(has, _)| *has).map(|(_, sign)| sign));
    text
}

/// A cell of a sticking.
pub fn letter(cell: &StickCell) -> String {
    match &cell.kind {
        StickKind::Silence => ".".to_owned(),
        StickKind::NoLetter => "-".to_owned(),
        StickKind::Letter { hand, grace, accent, other } => {
            let accent = match accent {
                Accent::None => "",
                Accent::Accent => ">",
                Accent::Marcato => "^",
            };
            let grace = grace.iter().map(|hand| capital(*hand).to_ascii_lowercase());
            let other = other.map(|hand| format!("({})", capital(hand))).unwrap_or_default();
            format!("{}{accent}{}{other}", grace.collect::<String>(), capital(*hand))
        }
        StickKind::Split(cells) => {
            format!("[{}]", cells.iter().map(letter).collect::<String>())
        }
    }
}

fn capital(hand: Hand) -> char {
    match hand {
        Hand::Right => 'R',
        Hand::Left => 'L',
        Hand::Both => 'B',
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Diagnostics;
    use crate::syntax::grammar::Piece;
    use crate::syntax::row::Reader;
    use crate::syntax::tree::Entry;
    use crate::syntax::{cells, sticks};

    #[test]
    fn what_is_written_reads_as_it_was() {
        let mut found = Diagnostics::default();
        let mut reader = Reader::new(&mut found);
        let text = "'Ss//5_.-[(S)^s[kk]]C+k!s,=?''t~9{tm}s";
        let row = cells::read(&mut reader, Piece { text, start: 0 });
        let [Entry::Group(group)] = row.as_slice() else { panic!("one group") };
        assert_eq!(group.cells.iter().map(cell).collect::<String>(), text);
        let text = "l>R-.[RL]rrLB^RR(L)";
        let row = sticks::read(&mut reader, Piece { text, start: 0 });
        let [Entry::Group(group)] = row.as_slice() else { panic!("one group") };
        assert_eq!(group.cells.iter().map(letter).collect::<String>(), text);
        assert!(found.is_empty());
    }
}

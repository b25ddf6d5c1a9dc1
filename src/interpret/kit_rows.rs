//! `kit` blocks: letters changed or added.

use crate::score::kit::Instrument;
use crate::score::{Kit, RowWord};
use crate::source::{Diagnostics, say};
use crate::syntax::tree::{Block, Content, KitLetter, Row, Word};
use crate::syntax::values::kit::{KitAttribute, WrongAttribute, head_names};

/// The kit a `kit` block makes of another.
pub(crate) fn changed(kit: &Kit, block: &Block, diagnostics: &mut Diagnostics) -> Kit {
    let mut kit = kit.clone();
    let mut seen: Vec<char> = Vec::new();
    for set in &block.sets {
        for setting in &set.settings {
            diagnostics
                .error(setting.key.span, "a kit takes no keys")
                .mend("write rows such as `j tambourine, above 3, triangle, sound 54`");
        }
        for row in &set.rows {
            let Content::KitLetter(content) = &row.content else { continue };
            let mut letters = row.name.value.chars();
            let (Some(letter), None) = (letters.next(), letters.next()) else {
                bad_letter(row, diagnostics);
                continue;
            };
            if !letter.is_ascii_alphabetic() {
                bad_letter(row, diagnostics);
                continue;
            }
            let letter = letter.to_ascii_lowercase();
            if seen.contains(&letter) {
                diagnostics
                    .error(row.name.span, format!("this kit gives `{letter}` twice"))
                    .mend("keep one of the two rows, or choose another letter");
                continue;
            }
            seen.push(letter);
            change(&mut kit, letter, content, row, diagnostics);
        }
    }
    kit
}

fn bad_letter(row: &Row, diagnostics: &mut Diagnostics) {
    diagnostics
        .error(row.name.span, format!("`{}` is no letter of a kit", row.name.value))
        .mend("begin the row with one letter from a to z");
}

fn change(
    kit: &mut Kit,
    letter: char,
    content: &KitLetter,
    row: &Row,
    diagnostics: &mut Diagnostics,
) {
    let name = content.name.value.trim();
    let known = kit.by_letter(letter);
    let mut instrument = known
        .and_then(|id| kit.get(id))
        .cloned()
        .unwrap_or_else(|| Instrument::unknown(letter, name));
    if !name.is_empty() {
        let owner = kit.by_name(name).filter(|id| Some(*id) != known);
        if let Some(other) = owner.and_then(|id| kit.get(id)) {
            let mend = match other.letter {
                None => "choose another name".to_owned(),
                Some(own) => format!("choose another name, or change the row of `{own}`"),
            };
            diagnostics
                .error(content.name.span, format!("`{name}` already is an instrument of the kit"))
                .mend(mend);
            return;
        }
        if RowWord::is_word(&name.to_lowercase()) {
            diagnostics
                .error(content.name.span, format!("`{name}` is the name of a row already"))
                .mend("choose another name for the instrument");
            return;
        }
        instrument.rename(name);
    } else if known.is_none() {
        diagnostics
            .error(row.span, format!("the new letter `{letter}` has no name"))
            .mend(format!("write its name after it, as in `{letter} tambourine, above 3`"));
        return;
    }
    for attribute in &content.attributes {
        if let Err(may_be) = set(&mut instrument, attribute) {
            diagnostics
                .error(attribute.span, format!("`{}` says nothing a kit knows", attribute.value))
                .mend(may_be);
        }
    }
    match known.and_then(|id| kit.instruments.get_mut(id.0)) {
        Some(place) => *place = instrument,
        None => kit.instruments.push(instrument),
    }
}

fn set(instrument: &mut Instrument, attribute: &Word) -> Result<(), String> {
    match KitAttribute::read(&attribute.value).map_err(help)? {
        KitAttribute::Position(position) => {
            instrument.position = position;
            // On one line the order of the places is kept around the snare's third space.
            instrument.one_line = ((position - 1) / 2).clamp(-3, 3);
        }
        KitAttribute::Sound(sound) => instrument.sound = sound,
        KitAttribute::Head(head) => instrument.head = head,
        KitAttribute::Limb(limb) => instrument.limb = limb,
        KitAttribute::Opening(opening) => instrument.opening = Some(opening),
    }
    Ok(())
}

/// What may be written in place of a wrong attribute.
fn help(wrong: WrongAttribute) -> String {
    match wrong {
        WrongAttribute::Joined => "separate what it says with commas, as in `line 4, x`".to_owned(),
        WrongAttribute::Range { word, range } => {
            format!("write `{word}` with a number from {} to {}", range.start(), range.end())
        }
        WrongAttribute::Unknown(near) => {
            let near = near.map(|near| format!("did you mean `{near}`? ")).unwrap_or_default();
            format!(
                "{near}it may say a place (`line 3`, `space 2`, `above 1`, `below 1`), a head ({}), `hands` or `feet`, `sound 38`, `open`, `half-open` or `closed`",
                say::choice(head_names())
            )
        }
    }
}

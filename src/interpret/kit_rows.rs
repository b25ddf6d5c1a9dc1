//! `kit` blocks: letters changed or added.

use super::codes;
use crate::score::kit::{Family, Instrument, InstrumentId, Limb, Opening};
use crate::score::{Kit, RowWord};
use crate::source::{Diagnostics, say};
use crate::syntax::tree::{Block, Content, KitLetter, Row, Word};
use crate::syntax::values::kit::{KitAttribute, WrongAttribute, family_names, head_names};

/// The kit a `kit` block makes of another.
pub(crate) fn changed(kit: &Kit, block: &Block, diagnostics: &mut Diagnostics) -> Kit {
    let mut kit = kit.clone();
    let mut seen: Vec<char> = Vec::new();
    for set in &block.sets {
        for setting in &set.settings {
            diagnostics
                .error(setting.key.span, "a kit takes no keys")
                .code(codes::KIT_KEY)
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
                    .code(codes::KIT_LETTER_TWICE)
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
        .error(row.name.span, format!("`{}` is not a letter of a kit", row.name.value))
        .code(codes::KIT_LETTER)
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
        if !is_free(kit, &content.name, known, diagnostics) {
            return;
        }
        instrument.rename(name);
    } else if known.is_none() {
        diagnostics
            .error(row.span, format!("the new letter `{letter}` has no name"))
            .code(codes::KIT_NAME_MISSING)
            .mend(format!("write its name after it, as in `{letter} tambourine, above 3`"));
        return;
    }
    for (attribute, word) in said(content, diagnostics) {
        if let KitAttribute::Also(alias) = &attribute {
            let alias = Word::new(alias.clone(), word.span);
            if !is_free(kit, &alias, known, diagnostics) {
                continue;
            }
        }
        set(&mut instrument, attribute);
    }
    match known.and_then(|id| kit.instruments.get_mut(id.index())) {
        Some(place) => *place = instrument,
        None => kit.instruments.push(instrument),
    }
}

/// Whether a name can be given to the instrument of a letter; a fault where another has it.
fn is_free(
    kit: &Kit,
    name: &Word,
    known: Option<InstrumentId>,
    diagnostics: &mut Diagnostics,
) -> bool {
    let word = name.value.trim();
    let owner = kit.by_name(word).filter(|id| Some(*id) != known);
    if let Some(other) = owner.and_then(|id| kit.get(id)) {
        let mend = match other.letter {
            None => "choose another name".to_owned(),
            Some(own) => format!("choose another name, or change the row of `{own}`"),
        };
        diagnostics
            .error(name.span, format!("`{word}` already is an instrument of the kit"))
            .code(codes::KIT_NAME_TAKEN)
            .mend(mend);
        return false;
    }
    if RowWord::is_word(&word.to_lowercase()) {
        diagnostics
            .error(name.span, format!("`{word}` is the name of a row already"))
            .code(codes::KIT_NAME_TAKEN)
            .mend("choose another name for the instrument");
        return false;
    }
    true
}

/// What a row says of its letter, what other facts follow from first. What says nothing, or
/// something that was said before, is a fault.
fn said<'a>(
    content: &'a KitLetter,
    diagnostics: &mut Diagnostics,
) -> Vec<(KitAttribute, &'a Word)> {
    let mut all: Vec<(KitAttribute, &Word)> = Vec::new();
    for word in &content.attributes {
        let attribute = match KitAttribute::read(&word.value) {
            Ok(attribute) => attribute,
            Err(wrong) => {
                diagnostics
                    .error(word.span, format!("`{}` says nothing a kit knows", word.value))
                    .code(codes::KIT_FACT)
                    .mend(help(wrong));
                continue;
            }
        };
        match all.iter().find(|(own, _)| own.excludes(&attribute)) {
            Some((_, before)) => {
                let message = if before.value == word.value {
                    format!("this row says `{}` twice", word.value)
                } else {
                    format!("this row says both `{}` and `{}`", before.value, word.value)
                };
                diagnostics
                    .error(word.span, message)
                    .code(codes::KIT_FACT_TWICE)
                    .mend("keep one of the two");
            }
            None => all.push((attribute, word)),
        }
    }
    all.sort_by_key(|(attribute, _)| match attribute {
        KitAttribute::Family(_) => 0,
        KitAttribute::Crash(_) => 1,
        KitAttribute::Opening(_) => 2,
        KitAttribute::Position(_)
        | KitAttribute::Sound(_)
        | KitAttribute::Head(_)
        | KitAttribute::Limb(_)
        | KitAttribute::OnStem(_)
        | KitAttribute::Rings(_)
        | KitAttribute::Spot(_)
        | KitAttribute::Called(_)
        | KitAttribute::Also(_) => 3,
    });
    all
}

fn set(instrument: &mut Instrument, attribute: KitAttribute) {
    match attribute {
        KitAttribute::Position(position) => {
            instrument.position = position;
            // On one line the order of the places is kept around the snare's third space.
            instrument.one_line = ((position - 1) / 2).clamp(-3, 3);
        }
        KitAttribute::Sound(sound) => instrument.sound = sound,
        KitAttribute::Head(head) => instrument.head = head,
        KitAttribute::Limb(limb) => instrument.limb = limb,
        KitAttribute::Opening(opening) => {
            instrument.opening = Some(opening);
            if instrument.family == Family::HiHat {
                instrument.rings = opening != Opening::Closed;
            }
        }
        KitAttribute::OnStem(sign) => instrument.on_stem = Some(sign),
        KitAttribute::Family(family) => turn_into(instrument, family),
        KitAttribute::Crash(crash) => {
            if crash {
                turn_into(instrument, Family::Cymbal);
            }
            instrument.crash = crash;
        }
        KitAttribute::Rings(rings) => instrument.rings = rings,
        KitAttribute::Spot(spot) => instrument.spot = spot,
        KitAttribute::Called(name) => instrument.spoken = name,
        KitAttribute::Also(name) => instrument.aliases.push(name),
    }
}

/// Gives an instrument its kind, and with it what goes without saying: a cymbal rings and a foot
/// plays the kick.
fn turn_into(instrument: &mut Instrument, family: Family) {
    if instrument.family == family {
        return;
    }
    if instrument.family == Family::Kick {
        instrument.limb = Limb::Hands;
    }
    if family == Family::Kick {
        instrument.limb = Limb::Feet;
    }
    instrument.family = family;
    instrument.rings = family == Family::Cymbal;
    instrument.crash = false;
}

/// What may be written in place of a wrong attribute.
fn help(wrong: WrongAttribute) -> String {
    match wrong {
        WrongAttribute::Joined => "separate what it says with commas, as in `line 4, x`".to_owned(),
        WrongAttribute::Range { word, range } => {
            format!("write `{word}` with a number from {} to {}", range.start(), range.end())
        }
        WrongAttribute::Stands => "write how many centimetres to the left or right of you it stands, and how far ahead or behind, as `stands 40 left 60 ahead`; none is over 300".to_owned(),
        WrongAttribute::Nameless { word: "also" } => {
            "write another name of its row after it, in one word, as `also tam-tam`".to_owned()
        }
        WrongAttribute::Nameless { .. } => {
            "write what it is called in print after it, as `called big gong`".to_owned()
        }
        WrongAttribute::Unknown(Some(near)) => format!("did you mean `{near}`?"),
        WrongAttribute::Unknown(None) => {
            format!(
                "it may say a place (`line 3`, `space 2`, `above 1`, `below 1`), a head ({}), `hands` or `feet`, `sound 38`, `open`, `half-open` or `closed`, `rim-shot`, `dead-stroke` or `sweep`, a kind ({}), `crash` or `no crash`, `rings` or `dry`, `stands 40 left 60 ahead`, `called big gong`, `also tam-tam`",
                say::choice(head_names()),
                say::choice(family_names())
            )
        }
    }
}

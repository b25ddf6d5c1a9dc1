//! `kit` blocks: letters changed or added.

use crate::score::Kit;
use crate::score::kit::{Head, Instrument, Limb, Opening};
use crate::source::say;
use crate::source::{Diagnostics, nearest};
use crate::syntax::tree::{Block, Content, KitLetter, Row, Word};

/// Places above and below the staff that can be asked for.
const MOST_OFF_STAFF: i32 = 10;
/// The General MIDI percussion map and the keys its second level adds to it.
const KEYS: std::ops::RangeInclusive<u8> = 27..=87;

const HEADS: [(&str, Head); 8] = [
    ("normal", Head::Normal),
    ("x", Head::X),
    ("circled-x", Head::CircledX),
    ("diamond", Head::Diamond),
    ("triangle", Head::Triangle),
    ("slash", Head::Slash),
    ("square", Head::Square),
    ("plus", Head::Plus),
];

const OTHER_WORDS: [&str; 10] =
    ["line", "space", "above", "below", "hands", "feet", "sound", "open", "half-open", "closed"];

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
        if RESERVED.contains(&name.to_lowercase().as_str()) {
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

/// Names of rows that are no instruments.
pub(crate) const RESERVED: [&str; 9] =
    ["count", "play", "hands", "feet", "stick", "pedal", "dyn", "say", "mark"];

fn set(instrument: &mut Instrument, attribute: &Word) -> Result<(), String> {
    let text = attribute.value.to_lowercase();
    let mut words = text.split_whitespace();
    let first = words.next().unwrap_or("");
    let second = words.next();
    if words.next().is_some() {
        return Err("separate what it says with commas, as in `line 4, x`".to_owned());
    }
    let (first, second) = match (first, second) {
        ("head", Some(head)) => (head, None),
        other => other,
    };
    let figure = |least: i32, most: i32| {
        second
            .and_then(|n| n.parse::<i32>().ok())
            .filter(|n| (least..=most).contains(n))
            .ok_or(format!("write `{first}` with a number from {least} to {most}"))
    };
    let position = match first {
        "line" => Some(2 * figure(1, 5)? - 6),
        "space" => Some(2 * figure(1, 4)? - 5),
        "above" => Some(4 + figure(1, MOST_OFF_STAFF)?),
        "below" => Some(-4 - figure(1, MOST_OFF_STAFF)?),
        _ => None,
    };
    if let Some(position) = position {
        instrument.position = position;
        // On one line the order of the places is kept around the snare's third space.
        instrument.one_line = ((position - 1) / 2).clamp(-3, 3);
        return Ok(());
    }
    if first == "sound" {
        let key = figure(i32::from(*KEYS.start()), i32::from(*KEYS.end()))?;
        instrument.sound = u8::try_from(key).unwrap_or(instrument.sound);
        return Ok(());
    }
    if second.is_some() {
        return Err("separate what it says with commas, as in `line 4, x`".to_owned());
    }
    if let Some((_, head)) = HEADS.iter().find(|(name, _)| *name == first) {
        instrument.head = *head;
        return Ok(());
    }
    match first {
        "hands" => instrument.limb = Limb::Hands,
        "feet" => instrument.limb = Limb::Feet,
        "open" => instrument.opening = Some(Opening::Open),
        "half-open" => instrument.opening = Some(Opening::Half),
        "closed" => instrument.opening = Some(Opening::Closed),
        _ => {
            let heads = HEADS.iter().map(|(name, _)| *name);
            let near = nearest(first, heads.clone().chain(OTHER_WORDS))
                .map(|near| format!("did you mean `{near}`? "))
                .unwrap_or_default();
            return Err(format!(
                "{near}it may say a place (`line 3`, `space 2`, `above 1`, `below 1`), a head ({}), `hands` or `feet`, `sound 38`, `open`, `half-open` or `closed`",
                say::choice(heads)
            ));
        }
    }
    Ok(())
}

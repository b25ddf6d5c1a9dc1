//! The words of a `mark` row.

use crate::interpret::values;
use crate::score::MarkKind;
use crate::score::Meter;
use crate::score::mark::{Direction, Passes};
use crate::score::settings::Swing;
use crate::source::nearest;

/// Words offered when one is misspelt.
const WORDS: [&str; 14] = [
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
    "breath",
    "caesura",
    "new-line",
];

/// Most passes an ending can name.
const MOST_PASSES: u32 = 99;

/// Reads one mark. An error says what may be written.
pub(crate) fn read(word: &str, quoted: bool, meter: &Meter) -> Result<MarkKind, String> {
    let plain: String =
        word.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    let direction = Direction::read(word).map(MarkKind::Direction);
    if quoted {
        let number = word.parse::<u32>().ok().filter(|n| n.to_string() == word);
        let words = || match number {
            Some(number) => MarkKind::Number(number),
            None => MarkKind::Words(word.to_owned()),
        };
        return Ok(direction.unwrap_or_else(words));
    }
    if let Some(direction) = direction {
        return Ok(direction);
    }
    if is_section(word) {
        return Ok(MarkKind::Section(word.to_owned()));
    }
    if let Some(ending) = ending(word) {
        return Ok(MarkKind::Ending(ending));
    }
    match plain.as_str() {
        "segno" => return Ok(MarkKind::Segno),
        "coda" => return Ok(MarkKind::Coda),
        "fermata" => return Ok(MarkKind::Fermata),
        "straight" => return Ok(MarkKind::Straight),
        "breath" => return Ok(MarkKind::Breath),
        "caesura" => return Ok(MarkKind::Caesura),
        "newline" => return Ok(MarkKind::NewLine { asked: !word.ends_with('?') }),
        "swing" => {
            return Ok(MarkKind::Swing(Swing {
                unit: crate::score::Time::new(1, 8),
                long: 2,
                short: 1,
            }));
        }
        _ => {}
    }
    if let Some((key, value)) = word.split_once('=') {
        if let (Some(was), Some(now)) = (values::modulated(key), values::modulated(value)) {
            return Ok(MarkKind::Modulation { was, now });
        }
        let unknown = || {
            "write a new tempo as `tempo=120`, a new feel as `swing=sixteenths`, a metric modulation with a note value on each side, as `eighth=quarter`".to_owned()
        };
        return match key.to_lowercase().as_str() {
            "tempo" => values::tempo(value)
                .map(|tempo| MarkKind::Tempo(tempo.under(meter)))
                .ok_or_else(unknown),
            "swing" => values::swing(value)
                .map(|swing| swing.map_or(MarkKind::Straight, MarkKind::Swing))
                .ok_or_else(unknown),
            _ => Err(unknown()),
        };
    }
    Err(match nearest(word, WORDS) {
        Some(near) => format!("did you mean `{near}`? words to be printed go in quotes"),
        None => "write a section letter (`A`), an ending (`1.`), `segno`, `coda`, `fine`, `dc`, `ds`, `dc-al-fine`, `ds-al-coda`, `fermata`, `breath`, `caesura`, `swing`, `straight`, `tempo=120`, `eighth=quarter` or `new-line`; words to be printed go in quotes".to_owned(),
    })
}

/// One capital, or a capital and a number of one or two figures.
fn is_section(word: &str) -> bool {
    let mut letters = word.chars();
    letters.next().is_some_and(|c| c.is_uppercase())
        && letters.clone().count() <= 2
        && letters.all(|c| c.is_ascii_digit())
}

/// `1.` to `1`; `1.,2.` and `1,2.` to `1, 2`; `1.-3.` to `1, 2, 3`.
fn ending(word: &str) -> Option<Passes> {
    if !word.ends_with('.') {
        return None;
    }
    let mut passes: Vec<u32> = Vec::new();
    for piece in word.split(',') {
        let pass = |text: &str| {
            let text = text.trim_end_matches('.');
            text.parse::<u32>().ok().filter(|n| (1..=MOST_PASSES).contains(n))
        };
        match piece.split_once('-') {
            Some((first, last)) => passes.extend(pass(first)?..=pass(last)?),
            None => passes.push(pass(piece)?),
        }
    }
    (!passes.is_empty()).then(|| Passes::new(passes))
}

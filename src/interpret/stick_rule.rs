//! What a `stick:` line says.

use crate::score::Hand;
use crate::score::settings::{StickRule, Way};
use crate::source::nearest;

/// The words a rule may begin with.
const WORDS: [&str; 5] = ["natural", "alternate", "economy", "lead", "written"];

/// What a `stick:` line may say.
pub(crate) const HELP: &str = "it may be `natural` (the right hand keeps the grid), `alternate` (hand to hand), `economy` (the shortest way round the kit), each also with `left`, as `alternate left`; or `lead left`";

/// Reads a rule; `None` inside where the letters are to be those that are written. An error
/// says what may be written.
pub(crate) fn read(value: &str) -> Result<Option<StickRule>, String> {
    let value = value.trim().to_lowercase();
    let (word, first) = value.split_once(' ').unwrap_or((&value, ""));
    let first = match first.trim() {
        "" if word != "lead" => Hand::Right,
        "right" => Hand::Right,
        "left" => Hand::Left,
        _ => return Err(HELP.to_owned()),
    };
    let way = match word {
        "natural" | "lead" => Way::Natural,
        "alternate" => Way::Alternate,
        "economy" => Way::Economy,
        "written" if value == "written" => return Ok(None),
        _ => {
            let near = nearest(word, WORDS).map(|w| format!("did you mean `{w}`? "));
            return Err(format!("{}{HELP}", near.unwrap_or_default()));
        }
    };
    Ok(Some(StickRule { way, first }))
}

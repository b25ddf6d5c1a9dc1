//! Names of subdivisions under a time signature: eighths are three to a beat in 6/8 and the beat itself in 7/8.

use crate::interpret::request::{Hands, Notes, Rule};
use crate::score::{Meter, Time};
use crate::syntax::values::subdivision::Subdivision;

/// What stands in the way of a subdivision, and its mend.
type Unfit = (String, String);

/// In how many equal parts a subdivision cuts each beat of a time signature, 1 to 64.
pub(crate) fn parts(named: Subdivision, meter: &Meter) -> Result<i64, Unfit> {
    let Some(value) = named.value() else { return Ok(named.parts().into()) };
    let beats = meter.beats();
    let beat = beats.first().copied().unwrap_or(Time::QUARTER);
    let (time, name) = (written(meter), named.name());
    if beats.iter().any(|other| *other != beat) {
        return Err((
            format!(
                "the groups of {time} are of different lengths and have no one number of {name}"
            ),
            "take a time signature of equal beats".to_owned(),
        ));
    }
    let parts = beat.ratio(value);
    if !parts.is_integer() {
        return Err((
            format!("a beat of {time} is no whole number of {name}"),
            "name notes that divide its beat".to_owned(),
        ));
    }
    Ok(parts.to_integer())
}

/// A rule with the cells of its beats counted under a time signature.
pub(crate) fn rule(rule: &Rule, meter: &Meter) -> Result<Rule, Unfit> {
    let count = |named: Option<Subdivision>, plain: usize| -> Result<usize, Unfit> {
        match named {
            Some(named) => Ok(usize::try_from(parts(named, meter)?).unwrap_or(plain)),
            None => Ok(plain),
        }
    };
    Ok(match rule {
        Rule::Accents { .. } => rule.clone(),
        Rule::Notes(notes) => {
            Rule::Notes(Notes { parts: count(notes.named, notes.parts)?, ..notes.clone() })
        }
        Rule::Stickings(hands) => {
            Rule::Stickings(Hands { parts: count(hands.named, hands.parts)?, ..*hands })
        }
    })
}

/// A time signature as it is written.
pub(crate) fn written(meter: &Meter) -> String {
    let upper: Vec<String> = meter.upper.iter().map(u32::to_string).collect();
    format!("{}/{}", upper.join("+"), meter.lower)
}

//! What a `stick:` line says.

use super::wrong_value::WrongValue;
use crate::score::Span;
use crate::score::settings::{StickRule, Way};
use crate::syntax::values::stick::{StickingWay, WrittenSticking, WrongSticking};

/// What a `stick:` line may say.
const HELP: &str = "it may be `natural` (the right hand keeps the grid), `alternate` (hand to hand), `economy` (the shortest way round the kit), each also with `left`, as `alternate left`; or `lead left`";

/// Reads a rule; `None` inside where the letters are to be those that are written. An error
/// says what may be written.
pub(crate) fn read(value: &str, span: Span) -> Result<Option<StickRule>, WrongValue> {
    WrittenSticking::read(value).map(rule).map_err(|wrong| help(&wrong, span))
}

/// The rule of a line; nothing where the letters are to be those that are written.
pub(super) fn rule(written: WrittenSticking) -> Option<StickRule> {
    let (way, first) = match written {
        WrittenSticking::Rule { way, first } => (way, first),
        WrittenSticking::Written => return None,
    };
    let way = match way {
        StickingWay::Natural => Way::Natural,
        StickingWay::Alternate => Way::Alternate,
        StickingWay::Economy => Way::Economy,
    };
    Some(StickRule { way, first })
}

/// What may be written in place of a wrong line, whose value stands at a place.
pub(super) fn help(wrong: &WrongSticking, span: Span) -> WrongValue {
    match wrong {
        WrongSticking::Unknown(Some(near)) => {
            WrongValue::misspelt(span, near, format!("did you mean `{near}`? {HELP}"))
        }
        WrongSticking::Hand | WrongSticking::Unknown(None) => HELP.into(),
    }
}

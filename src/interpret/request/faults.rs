//! Faults that the lines of all made blocks have in common.

use crate::interpret::wrong_value::WrongValue;
use crate::interpret::{codes, keys};
use crate::source::{Diagnostics, nearest, say};
use crate::syntax::tree::Setting;

/// Reports a key that a made block does not know.
pub(super) fn unknown(
    what: &str,
    setting: &Setting,
    words: &[&'static str],
    diagnostics: &mut Diagnostics,
) {
    let (word, span) = (setting.key.value.as_str(), setting.key.span);
    let known = words.iter().copied().chain(keys::block_keys());
    let fault = diagnostics
        .error(span, format!("{what}: there is no word `{word}`"))
        .code(codes::LINE_UNKNOWN);
    match nearest(word, known) {
        Some(near) => fault.replace(span, &near, format!("did you mean `{near}:`?")),
        None => fault.mend(format!("it may say {}", say::listed(words.iter().copied()))),
    }
}

/// Reports a value that a line of a made block cannot have.
pub(super) fn no_value(
    what: &str,
    setting: &Setting,
    wrong: WrongValue,
    diagnostics: &mut Diagnostics,
) {
    let key = setting.key.value.to_lowercase();
    let message = format!("{what}: `{}` is not a value for `{key}`", setting.value.value);
    wrong.mend(diagnostics.error(setting.value.span, message).code(codes::LINE_VALUE));
}

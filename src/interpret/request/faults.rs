//! Faults that the lines of all made blocks have in common.

use crate::interpret::keys;
use crate::source::{Diagnostics, nearest, say};
use crate::syntax::tree::Setting;

/// Reports a key that a made block does not know.
pub(super) fn unknown(
    what: &str,
    setting: &Setting,
    words: &[&'static str],
    diagnostics: &mut Diagnostics,
) {
    let word = setting.key.value.as_str();
    let known = words.iter().copied().chain(keys::block_keys());
    let mend = match nearest(word, known) {
        Some(near) => format!("did you mean `{near}:`?"),
        None => format!("it may say {}", say::listed(words.iter().copied())),
    };
    diagnostics.error(setting.key.span, format!("{what}: there is no word `{word}`")).mend(mend);
}

/// Reports a value that a line of a made block cannot have; `may_be` says what it may be.
pub(super) fn no_value(
    what: &str,
    setting: &Setting,
    may_be: String,
    diagnostics: &mut Diagnostics,
) {
    let key = setting.key.value.to_lowercase();
    let message = format!("{what}: `{}` is no value for `{key}`", setting.value.value);
    diagnostics.error(setting.value.span, message).mend(may_be);
}

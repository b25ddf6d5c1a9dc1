//! How the lines of all made blocks are gone through, and the faults they have in common.

use crate::interpret::wrong_value::WrongValue;
use crate::interpret::{codes, keys};
use crate::source::{Diagnostics, nearest, say};
use crate::syntax::tree::{Block, Setting};

/// Goes through the lines of a made block. `take` takes each by its key in small letters, and says nothing of a key that
/// it does not know, of which `words` are those it does. The keys of any block come back, but nothing where a line is
/// wrong.
pub(super) fn lines<'b>(
    what: &str,
    block: &'b Block,
    words: &[&'static str],
    diagnostics: &mut Diagnostics,
    mut take: impl FnMut(&str, &Setting) -> Option<Result<(), WrongValue>>,
) -> Option<Vec<&'b Setting>> {
    let mut own = Vec::new();
    let mut good = true;
    for setting in block.sets.iter().flat_map(|set| &set.settings) {
        let key = setting.key.value.to_lowercase();
        match take(&key, setting) {
            Some(Ok(())) => {}
            Some(Err(wrong)) => {
                good = false;
                no_value(what, setting, wrong, diagnostics);
            }
            None if keys::is_block_key(&key) => own.push(setting),
            None => {
                good = false;
                unknown(what, setting, words, diagnostics);
            }
        }
    }
    good.then_some(own)
}

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

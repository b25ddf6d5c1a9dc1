//! Which words may stand at a place.

use super::super::comments::comment_at;
use super::super::lines::{Place, Written};
use super::super::view::View;
use super::super::words::{BLOCK_WORDS, LINES, about};
use super::item::{Completion, CompletionKind, completion};
use super::names::names;
use super::{cells, first_word, values};
use crate::interpret::keys::Scope;
use crate::score::BlockWord;

/// How what stands before a byte may go on.
#[must_use]
pub fn complete(view: &View<'_>, offset: usize) -> Vec<Completion> {
    let written = Written::at(view.source, offset);
    if written.before.contains("//") && comment_at(view.source, offset).is_some() {
        return Vec::new();
    }
    let place = written.place;
    match place {
        Place::Header | Place::Flush => at_edge(view, &written),
        Place::Nowhere => Vec::new(),
        Place::Block(block) => {
            let before = written.before;
            if let Some((key, value)) = before.split_once(':').filter(|(key, _)| is_key(key)) {
                values::of(view, &written, (key, value), Some(block.word))
            } else if before.contains([' ', '\t']) {
                cells::of(view, &written, block)
            } else {
                first_word::of(view, &written, block)
            }
        }
    }
}

fn is_key(word: &str) -> bool {
    !word.is_empty() && word.chars().all(|c| c.is_ascii_alphabetic() || c == '-')
}

/// At the left edge: keys of the header, words of blocks, and names in prose.
fn at_edge(view: &View<'_>, written: &Written<'_>) -> Vec<Completion> {
    let before = written.before;
    let header = written.place == Place::Header;
    if header && let Some((key, value)) = before.split_once(':').filter(|(key, _)| is_key(key)) {
        return values::of(view, written, (key, value), None);
    }
    if written.word().len() == before.len() {
        let mut found = block_words(written);
        if header {
            found.extend(first_word::keys(written, Scope::Header));
        }
        return found;
    }
    let head = before.get(..before.len() - written.word().len()).unwrap_or("");
    let made = before.starts_with("variation ") || before.starts_with("series ");
    if made && head.ends_with(" of ") {
        return names(view, written, &BlockWord::has_music);
    }
    if head.ends_with('@') {
        return names(view, written, &BlockWord::has_music);
    }
    let mentioned = head.strip_suffix('.').and_then(|head| head.rsplit_once('@'));
    if mentioned.is_some_and(|(_, name)| name.chars().all(|c| c.is_alphanumeric() || c == '-')) {
        let told = [("number", "its number alone"), ("page", "its page alone")];
        let each = |(label, about): (&str, &str)| {
            completion(written, CompletionKind::Word, label, about.to_owned())
        };
        return told.map(each).into();
    }
    Vec::new()
}

fn block_words(written: &Written<'_>) -> Vec<Completion> {
    let told = |word: BlockWord| about(BLOCK_WORDS, word.as_str()).unwrap_or_default().to_owned();
    let blocks = BlockWord::ALL
        .map(|word| completion(written, CompletionKind::Word, word.as_str(), told(word)));
    let lines = LINES
        .map(|(word, about)| completion(written, CompletionKind::Word, word, about.to_owned()));
    blocks.into_iter().chain(lines).collect()
}

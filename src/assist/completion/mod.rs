//! How a word may go on.

mod cells;
mod first_word;
mod values;

use super::lines::{Place, Written};
use super::names::{Named, occurrences};
use super::view::View;
use super::words::{BLOCK_WORDS, about};
use super::{hover, words};
use crate::interpret::keys::Scope;
use crate::score::{BlockWord, name_key};
use crate::source::Span;

/// How a word may go on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Completion {
    /// What is shown, and by what it is found.
    pub label: String,
    /// What it is.
    pub kind: CompletionKind,
    /// What it means, in a few words.
    pub about: String,
    /// What is replaced.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

/// What a completion is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CompletionKind {
    /// The word of a block or a row, or a line.
    Word,
    /// A key.
    Key,
    /// The value of a key.
    Value,
    /// The name of a block.
    Name,
    /// A letter of the kit, of a sticking, or a sign.
    Letter,
}

/// How what stands before a byte may go on.
#[must_use]
pub fn complete(view: &View<'_>, offset: usize) -> Vec<Completion> {
    let written = Written::at(view.source, offset);
    if written.before.contains("//") && super::comments::comment_at(view.source, offset).is_some() {
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
        return names(view, written, &music);
    }
    if head.ends_with('@') {
        return names(view, written, &music);
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

/// A completion of the word that is being typed.
fn completion(
    written: &Written<'_>,
    kind: CompletionKind,
    label: &str,
    about: String,
) -> Completion {
    let span = written.word_span();
    Completion { label: label.to_owned(), kind, about, span, text: label.to_owned() }
}

fn block_words(written: &Written<'_>) -> Vec<Completion> {
    let told = |word: BlockWord| about(BLOCK_WORDS, word.as_str()).unwrap_or_default().to_owned();
    let blocks = BlockWord::ALL
        .map(|word| completion(written, CompletionKind::Word, word.as_str(), told(word)));
    let lines = words::LINES
        .map(|(word, about)| completion(written, CompletionKind::Word, word, about.to_owned()));
    blocks.into_iter().chain(lines).collect()
}

/// Whether a block has music, or makes some.
fn music(word: BlockWord) -> bool {
    match word {
        BlockWord::Groove
        | BlockWord::Fill
        | BlockWord::Exercise
        | BlockWord::Rudiment
        | BlockWord::Variation
        | BlockWord::Context
        | BlockWord::Series => true,
        BlockWord::Kit | BlockWord::Syllables | BlockWord::Edition => false,
    }
}

/// The names of blocks of some words.
fn names(
    view: &View<'_>,
    written: &Written<'_>,
    wanted: &dyn Fn(BlockWord) -> bool,
) -> Vec<Completion> {
    let named = view.blocks().filter(|block| wanted(block.word.value));
    let mut known: Vec<String> = Vec::new();
    let mut found = Vec::new();
    for block in named {
        let Some(name) = &block.name else { continue };
        let key = name_key(&name.value).into_owned();
        if known.contains(&key) {
            continue;
        }
        known.push(key);
        let about = hover::told_block(view, block);
        found.push(completion(written, CompletionKind::Name, &name.value, about));
    }
    found
}

/// The names of players.
fn players(view: &View<'_>, written: &Written<'_>) -> Vec<Completion> {
    let mut names: Vec<String> = Vec::new();
    for one in occurrences(view) {
        if one.named == Named::Player && !names.contains(&one.name) {
            names.push(one.name);
        }
    }
    let each = |name: String| {
        let text = format!("player \"{name}\"");
        let about = format!("what {name} plays");
        Completion { text: text.clone(), ..completion(written, CompletionKind::Name, &text, about) }
    };
    names.into_iter().map(each).collect()
}

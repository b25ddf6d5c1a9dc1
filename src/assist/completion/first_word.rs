//! The first word of a line of a block: rows, keys and lines of made blocks.

use super::super::hover::told_key;
use super::super::hovered::told_row;
use super::super::kits::{asked, kit_at};
use super::super::lines::{BlockPlace, Written};
use super::super::spoken;
use super::super::view::View;
use super::super::words::{CONTEXT_LINES, EDITION_LINES, SERIES_LINES, Told, VARIATION_LINES};
use super::item::{Completion, CompletionKind, completion};
use super::names::players;
use crate::interpret::key_table::KEYS;
use crate::interpret::keys::Scope;
use crate::score::{BlockWord, Kit, RowWord};

pub(super) fn of(view: &View<'_>, written: &Written<'_>, block: BlockPlace) -> Vec<Completion> {
    let scope = match block {
        BlockPlace { player: true, .. } => Scope::Player,
        BlockPlace { later: true, .. } => Scope::LaterSet,
        BlockPlace { .. } => Scope::Block,
    };
    let mut found = Vec::new();
    match block.word {
        BlockWord::Groove | BlockWord::Fill | BlockWord::Exercise | BlockWord::Rudiment => {
            let tree = view.block_at(block.at);
            let wanted = tree.and_then(|tree| asked(tree.settings()).map(str::to_owned));
            found.extend(rows(written, &kit_at(view, block.at, wanted.as_deref())));
            found.extend(players(view, written));
            found.extend(keys(written, scope));
        }
        BlockWord::Variation => {
            found.extend(lines(written, VARIATION_LINES));
            found.extend(keys(written, scope));
        }
        BlockWord::Context => {
            found.extend(lines(written, CONTEXT_LINES));
            found.extend(keys(written, scope));
        }
        BlockWord::Series => {
            found.extend(lines(written, SERIES_LINES));
            found.extend(keys(written, scope));
        }
        BlockWord::Edition => {
            found.extend(lines(written, EDITION_LINES));
            found.extend(keys(written, Scope::Header));
        }
        BlockWord::Kit => found.extend(letters(written, &kit_at(view, block.at, None))),
        BlockWord::Syllables => {}
    }
    let mut seen: Vec<String> = Vec::new();
    found.retain(|one| {
        let new = !seen.contains(&one.text);
        seen.push(one.text.clone());
        new
    });
    found
}

/// Keys that may stand somewhere, each with its colon.
pub(super) fn keys(written: &Written<'_>, scope: Scope) -> Vec<Completion> {
    let known = KEYS.iter().filter(|key| scope.takes(key.reach));
    let each = |key| {
        let about = told_key(key);
        let one = completion(written, CompletionKind::Key, key.name(), about);
        Completion { text: format!("{}: ", key.name()), ..one }
    };
    known.map(each).collect()
}

/// Rows: those that are called after no instrument, and those of the kit.
fn rows(written: &Written<'_>, kit: &Kit) -> Vec<Completion> {
    let row = |name: &str, about: String| {
        let one = completion(written, CompletionKind::Word, name, about);
        Completion { text: format!("{name}  "), ..one }
    };
    let words =
        RowWord::words().into_iter().map(|word| row(word, told_row(word).unwrap_or_default()));
    let instruments = kit.instruments.iter().map(|instrument| {
        row(&instrument.name, format!("hits of the {}", spoken::instrument(instrument)))
    });
    words.chain(instruments).collect()
}

/// Lines of made blocks, each with its colon.
fn lines(written: &Written<'_>, table: &[Told]) -> Vec<Completion> {
    let each = |told: &Told| {
        let about = told.about;
        let one = |word: &&str| {
            let one = completion(written, CompletionKind::Key, word, about.to_owned());
            Completion { text: format!("{word}: "), ..one }
        };
        told.words.iter().map(one).collect::<Vec<_>>()
    };
    table.iter().flat_map(each).collect()
}

/// The letters of a kit that a row may change, and those that are free.
fn letters(written: &Written<'_>, kit: &Kit) -> Vec<Completion> {
    let each = |letter: char| {
        let known = kit.by_letter(letter).and_then(|id| kit.get(id));
        let about = match known {
            Some(instrument) => format!("changes the {}", spoken::instrument(instrument)),
            None => "a free letter".to_owned(),
        };
        completion(written, CompletionKind::Letter, &letter.to_string(), about)
    };
    ('a'..='z').map(each).collect()
}

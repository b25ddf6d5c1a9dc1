//! A name changed in all places.

use super::names::{self, Named, Occurrence};
use super::view::View;
use crate::interpret::counting::CountingSystems;
use crate::score::{BlockWord, name_key};
use crate::source::{Edit, Span};

/// The name at a byte, if it can be changed: its place.
#[must_use]
pub fn renamed_place(view: &View<'_>, offset: usize) -> Option<Span> {
    let all = names::occurrences(view);
    let here = names::at(&all, offset)?;
    all.iter().any(|other| other.given && other.is_same(here)).then_some(here.span)
}

/// The changes that give what is named at a byte another name in all places, by place.
///
/// # Errors
/// Says why it can't have that name, in one sentence.
pub fn rename(view: &View<'_>, offset: usize, name: &str) -> Result<Vec<Edit>, String> {
    let all = names::occurrences(view);
    let here = names::at(&all, offset).ok_or("there is no name here")?;
    if !all.iter().any(|other| other.given && other.is_same(here)) {
        return Err(format!("no block is named `{}`", here.name));
    }
    match here.named {
        Named::Block => refuse_block(view, &all, here, name)?,
        Named::Player => refuse_player(view, here, name)?,
    }
    let same = all.iter().filter(|other| other.is_same(here));
    let mut edits: Vec<Edit> =
        same.map(|other| Edit { span: other.span, text: name.to_owned() }).collect();
    edits.sort_by_key(|edit| edit.span);
    Ok(edits)
}

fn refuse_block(
    view: &View<'_>,
    all: &[Occurrence],
    here: &Occurrence,
    name: &str,
) -> Result<(), String> {
    let parts = |c: char| c.is_alphabetic() || c.is_ascii_digit() || c == '-';
    let whole = name.starts_with(char::is_alphabetic)
        && !name.ends_with('-')
        && name.chars().all(parts)
        && name != "of";
    if !whole {
        return Err(format!(
            "`{name}` can't be a name: it is letters, digits and hyphens, begins with a letter and ends with a letter or a digit"
        ));
    }
    let key = name_key(name);
    let same = key == name_key(&here.name);
    if !same
        && all
            .iter()
            .any(|one| one.named == Named::Block && one.given && name_key(&one.name) == key)
    {
        return Err(format!("another block is named `{name}` already"));
    }
    let is_table = view.blocks().any(|block| {
        let own =
            block.name.as_ref().is_some_and(|own| name_key(&own.value) == name_key(&here.name));
        own && block.word.value == BlockWord::Syllables
    });
    if is_table && CountingSystems::default().get(&name.to_lowercase()).is_some() {
        return Err(format!("the count `{name}` is built in"));
    }
    Ok(())
}

fn refuse_player(view: &View<'_>, here: &Occurrence, name: &str) -> Result<(), String> {
    if name.trim().is_empty() || name.trim() != name {
        return Err("a player's name has no blanks round it and is not empty".to_owned());
    }
    if name.contains(['"', '“', '”', '„', '\n', '\r']) || name.contains("//") {
        return Err(format!("`{name}` can't be a name: it stands in quotes, on one line"));
    }
    let has = |name: &str, block: &crate::syntax::tree::Block| {
        block.players.iter().any(|player| name_key(&player.name.value) == name_key(name))
    };
    let both = |block: &crate::syntax::tree::Block| has(name, block) && has(&here.name, block);
    let other = name_key(name) != name_key(&here.name);
    if other && view.blocks().any(|block| both(block)) {
        return Err(format!("another player is named `{name}` already"));
    }
    Ok(())
}

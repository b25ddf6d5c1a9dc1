//! What the header of an included file means: its keys for music hold for its own blocks, its title
//! is the heading of a chapter, and what concerns the whole document is the first file's business.

use super::codes;
use super::keys::{self, Scope};
use super::reading_memo::ReadingMemo;
use super::setup::Setup;
use super::surroundings::Surroundings;
use crate::score::{Header, Item};
use crate::source::{Diagnostics, say};
use crate::syntax::address::with_addresses;
use crate::syntax::tree::{FileStart, Setting};

/// Takes the header of a file that begins; its title as a heading. `document` is the header of the
/// first file.
pub(super) fn take(
    start: &FileStart,
    (around, memo): (&mut Surroundings, &mut ReadingMemo),
    document: &[Setting],
    diagnostics: &mut Diagnostics,
) -> Option<Item> {
    let mut own = Header::default();
    let mut setup = Setup::clone(&around.setup);
    let lines = keys::read(&start.header, Scope::Header, &around.systems, diagnostics);
    keys::apply(&lines, &mut own, &mut setup);
    around.setup = memo.setups.share(setup.under_header());
    let says = |setting: &Setting| {
        document.iter().any(|other| {
            keys::is(other, &setting.key.value) && other.value.value == setting.value.value
        })
    };
    let unused: Vec<&Setting> = start
        .header
        .iter()
        .filter(|s| keys::is_document_key(s) && !keys::is(s, "title") && !says(s))
        .collect();
    if let Some(first) = unused.first() {
        let names = say::listed(unused.iter().map(|s| s.key.value.as_str()));
        let it = if unused.len() == 1 { "it" } else { "them" };
        diagnostics
            .warning(
                first.key.span,
                format!("what a file says of {names} is not used where it is included"),
            )
            .code(codes::KEY_UNUSED)
            .mend(format!("write {it} at the head of the first file, or take {it} out"));
    }
    own.title.map(|title| Item::Heading {
        level: 1,
        text: memo
            .titles
            .share(with_addresses(around.setup.typographer.words(&title)).into())
            .as_ref()
            .clone(),
        number: None,
        name: None,
        end: None,
    })
}

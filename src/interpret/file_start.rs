//! What the header of an included file means: its keys for music hold for its own blocks, its title
//! is the heading of a chapter, and what concerns the whole document is the first file's business.

use crate::interpret::Reader;
use crate::interpret::keys;
use crate::interpret::keys::Place;
use crate::score::{Header, Item};
use crate::source::Diagnostics;
use crate::source::say;
use crate::syntax::address::with_addresses;
use crate::syntax::tree::{FileStart, Setting};

impl Reader {
    /// Takes the header of a file that begins; its title as a heading.
    pub(crate) fn file_start(
        &mut self,
        start: &FileStart,
        diagnostics: &mut Diagnostics,
    ) -> Option<Item> {
        self.outer.push(self.setup.clone());
        let mut own = Header::default();
        self.setup.take(&start.header, Place::Header, &mut own, &self.systems, diagnostics);
        let unused: Vec<&Setting> = start
            .header
            .iter()
            .filter(|s| keys::is_document_key(s) && !keys::is(s, "title") && !self.says(s))
            .collect();
        if let Some(first) = unused.first() {
            let names = say::listed(unused.iter().map(|s| s.key.value.as_str()));
            let it = if unused.len() == 1 { "it" } else { "them" };
            diagnostics
                .warning(
                    first.key.span,
                    format!("what a file says of {names} is not used where it is included"),
                )
                .mend(format!("write {it} at the head of the first file, or take {it} out"));
        }
        own.title.map(|title| Item::Heading { level: 1, text: with_addresses(title) })
    }

    /// Whether the first file says the same.
    fn says(&self, setting: &Setting) -> bool {
        self.document_keys.iter().any(|other| {
            keys::is(other, &setting.key.value) && other.value.value == setting.value.value
        })
    }
}

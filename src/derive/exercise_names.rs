//! Names for the exercises of series that words refer to by number: written out, each is a block of its
//! own, and has no number in its series any more.

use super::account::Account;
use super::mentions::with_told;
use super::text::Plain;
use crate::interpret::Reading;
use crate::interpret::reading::ReadingPart;
use crate::score::{Reference, Span, name_key};
use crate::source::{FileId, Source};
use std::collections::{BTreeSet, HashMap};

/// The words of a text that refer to exercises by number, and the names that are taken in it.
pub(super) struct NumberedReferences {
    references: Vec<(Span, Reference)>,
    /// As names are compared.
    taken: BTreeSet<String>,
}

impl NumberedReferences {
    pub(super) fn of(reading: &Reading) -> Self {
        let mut taken: BTreeSet<String> = reading.names.iter().cloned().collect();
        let mut references = Vec::new();
        for part in &reading.parts {
            let Some(ReadingPart::Prose(item)) = part else { continue };
            taken.extend(item.name().map(|name| name_key(name).into_owned()));
            let numbered = item.references().into_iter().filter(|own| own.exercise.is_some());
            references.extend(numbered.map(|own| (own.span.moved(item.at()), own.clone())));
        }
        Self { references, taken }
    }

    /// Gives names to the exercises that are referred to, among the blocks of accounts, and returns what
    /// the references become. A series that an included file refers to so is not written out: the words
    /// there stay as they are.
    pub(super) fn name(mut self, accounts: &mut [Account], source: &Source) -> Vec<(Span, String)> {
        let mut series: HashMap<String, &mut Account> = HashMap::new();
        for account in accounts {
            if is_here(account.span, source)
                && let Some([Plain { name: Some(name), .. }, _, ..]) = account.blocks.as_deref()
            {
                series.insert(name_key(name).into_owned(), account);
            }
        }
        for (span, reference) in &self.references {
            if !is_here(*span, source)
                && let Some(account) = series.remove(&*name_key(&reference.name))
            {
                account.blocks = None;
            }
        }
        let mut edits = Vec::new();
        for (span, reference) in self.references {
            let account = series.get_mut(&*name_key(&reference.name));
            let Some(blocks) = account.and_then(|account| account.blocks.as_mut()) else {
                continue;
            };
            let number = reference.exercise.unwrap_or(1);
            let Some(block) = blocks.get_mut((number as usize).saturating_sub(1)) else { continue };
            let name = block.name.get_or_insert_with(|| {
                free_name(format!("{}-{number}", reference.name), &mut self.taken)
            });
            edits.push((span, with_told(format!("@{name}"), &reference)));
        }
        edits
    }
}

/// Whether a stretch is in the file that is written out.
fn is_here(span: Span, source: &Source) -> bool {
    source.file_at(span.start()) == FileId::MAIN
}

/// A name, with a number after it where it is taken. From here on it is taken.
fn free_name(wanted: String, taken: &mut BTreeSet<String>) -> String {
    let others = (2u32..).map(|number| format!("{wanted}-{number}"));
    let mut names = std::iter::once(wanted.clone()).chain(others);
    names.find(|name| taken.insert(name_key(name).into_owned())).unwrap_or(wanted)
}

//! How much is made of a text: bounded by how long the text is, so that a few lines can't become more
//! pages than anyone meant.

use super::codes;
use super::phrase::Phrase;
use crate::interpret::request::Request;
use crate::score::{Placed, Span};
use crate::source::{Diagnostics, Source, say};

/// Signs that are made of any text, however short: two series of the most exercises a series may have, of
/// a bar of twelve signs each. Common practice, no source.
const FOR_ANY_TEXT: u64 = 50_000;
/// Signs more for each byte of text. What is written by hand takes a byte or two for a sign; a line of
/// words that plays a block again makes ten times as many of it. Common practice, no source.
const FOR_EACH_BYTE: u64 = 8;

/// How many signs may be made by the variations, contexts and series of a text. Signs are notes, beats and
/// bars. What is written out by hand is not counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    signs: u64,
}

impl Budget {
    /// That of a text: 50,000 signs, and eight for each byte of its files.
    #[must_use]
    pub fn of(source: &Source) -> Self {
        let bytes = u64::try_from(source.bytes()).unwrap_or(u64::MAX);
        Self { signs: bytes.saturating_mul(FOR_EACH_BYTE).saturating_add(FOR_ANY_TEXT) }
    }

    /// So many times as much.
    #[must_use]
    pub fn times(self, times: u32) -> Self {
        Self { signs: self.signs.saturating_mul(times.into()) }
    }

    /// How many signs that is.
    #[must_use]
    pub fn signs(self) -> u64 {
        self.signs
    }
}

/// The signs of a phrase.
pub(super) fn signs(phrase: &Phrase) -> u64 {
    let signs = phrase.notes.len() + phrase.spans.len() + phrase.bars.len();
    u64::try_from(signs).unwrap_or(u64::MAX)
}

/// A block that is made, and how many signs it comes to.
#[derive(Debug)]
struct Spender {
    what: String,
    span: Span,
    at: usize,
    signs: u64,
}

/// What is spent of a budget.
#[derive(Debug)]
pub(super) struct Spending {
    budget: Budget,
    spent: u64,
    largest: Option<Spender>,
    /// More was asked for than there is, and nothing is made any more.
    exceeded: bool,
}

impl Spending {
    pub(super) fn of(budget: Budget) -> Self {
        Self { budget, spent: 0, largest: None, exceeded: false }
    }

    /// What is left of it.
    pub(super) fn left(&self) -> u64 {
        self.budget.signs.saturating_sub(self.spent)
    }

    /// Whether more was asked for than there is.
    pub(super) fn is_exceeded(&self) -> bool {
        self.exceeded
    }

    /// Whether so many signs are left for a block that is being made; nothing where they are not.
    pub(super) fn allow(&mut self, request: &Placed<Request>, signs: u64) -> Option<()> {
        if signs <= self.left() { Some(()) } else { self.spend(request, signs) }
    }

    /// Spends signs on a block; nothing where there are not as many left.
    pub(super) fn spend(&mut self, request: &Placed<Request>, signs: u64) -> Option<()> {
        let fits = signs <= self.left();
        self.spent = self.spent.saturating_add(signs);
        if self.largest.as_ref().is_none_or(|largest| largest.signs < signs) {
            let Request { what, span, .. } = &**request;
            self.largest = Some(Spender { what: what.clone(), span: *span, at: request.at, signs });
        }
        self.exceeded |= !fits;
        fits.then_some(())
    }

    /// Reports that more was asked for than there is, at the block that takes most of it.
    pub(super) fn report(&self, diagnostics: &mut Diagnostics) {
        let Some(Spender { what, span, at, .. }) = self.largest.as_ref().filter(|_| self.exceeded)
        else {
            return;
        };
        let most = say::thousands(self.budget.signs);
        let mut found = Diagnostics::default();
        found
            .error(
                *span,
                format!(
                    "{what}: the blocks that are made come to more than {most} notes, beats and bars, and this one has the most"
                ),
            )
            .code(codes::MADE_TOO_MUCH)
            .mend("make less, as `at-most: 100` does in a series, or build with `--limit 2`, which allows twice as much");
        diagnostics.absorb(found, *at);
    }
}

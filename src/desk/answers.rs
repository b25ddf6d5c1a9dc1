//! The answers, from what a text came to.

use super::answer::{Explained, Found, Look, Mended, Offer, Offered, Shown, Tidied, Token, Tokens};
use super::ask::Seen;
use super::sent::SentPages;
use super::units::Units;
use crate::assist::{Finding, View, changed_lines, complete, formatted, hover, tokens};
use crate::drawing::{Node, Page};
use crate::session::Session;
use crate::source::{FileId, Severity, Span};
use std::cell::RefCell;

/// A text and what it came to, to be asked about.
#[derive(Debug)]
pub struct Desk<'a> {
    pub(super) session: &'a Session,
    pub(super) view: View<'a>,
    text: &'a str,
    units: RefCell<Units<'a>>,
}

impl<'a> Desk<'a> {
    /// What a session looked at last.
    #[must_use]
    pub fn of(session: &'a Session) -> Self {
        let view = View::of(session);
        let text = view.source.text_of(FileId::MAIN);
        Self { session, view, text, units: RefCell::new(Units::new(text)) }
    }

    /// What the text came to: which of its pages changed, and what is wrong with it.
    #[must_use]
    pub fn look(
        &self,
        (current, changed): (bool, Vec<usize>),
        findings: &[Finding],
        (seen, sent): (&Seen, &mut SentPages),
    ) -> Look {
        let near = seen.near.iter().filter_map(|page| Some((*page, self.session.svg(*page)?)));
        let sent = near.filter_map(|(page, svg)| Some((page, sent.changed(page, svg)?))).collect();
        Look {
            current,
            pages: self.session.pages(),
            size: self.session.page(0).map(|page| [page.width, page.height]),
            changed,
            sent,
            tokens: self.tokens(seen.from, seen.to).tokens,
            findings: findings.iter().map(|found| self.found(found)).collect(),
        }
    }

    /// A page as SVG.
    #[must_use]
    pub fn page(&self, page: usize, sent: &mut SentPages) -> Shown {
        Shown { page: self.session.svg(page).map(|svg| sent.whole(page, svg)) }
    }

    /// The colours of a range.
    #[must_use]
    pub fn tokens(&self, from: usize, to: usize) -> Tokens {
        let range = Span::new(self.byte(from), self.byte(to.max(from)));
        let found = tokens(&self.view, FileId::MAIN, range).into_iter().map(|token| {
            let (from, to) = self.places(token.span);
            Token { from, to, kind: token.kind.name() }
        });
        Tokens { tokens: found.collect() }
    }

    /// How the word that ends at a place may go on.
    #[must_use]
    pub fn complete(&self, at: usize) -> Offered {
        let offers = complete(&self.view, self.byte(at)).into_iter().map(|own| {
            let (from, to) = self.places(own.span);
            Offer { label: own.label, about: own.about, from, to, text: own.text }
        });
        Offered { offers: offers.collect() }
    }

    /// What stands at a place, in words, and the page its block begins on.
    #[must_use]
    pub fn explain(&self, at: usize) -> Explained {
        let byte = self.byte(at);
        let words = hover(&self.view, byte).map(|found| found.text.replace('`', ""));
        let page = self.view.block_at(byte).and_then(|block| self.page_of(block.at));
        Explained { words, page }
    }

    /// The changes that set the text in columns; none where it has a fault.
    #[must_use]
    pub fn tidy(&self) -> Tidied {
        let Ok(after) = formatted(self.view.source) else { return Tidied::default() };
        let edits = changed_lines(self.text, &after).into_iter().map(|(range, text)| {
            let (from, to) = self.places(Span::new(range.start, range.end));
            Mended { title: String::new(), from, to, text }
        });
        Tidied { edits: edits.collect() }
    }

    /// The byte of a place.
    pub(super) fn byte(&self, at: usize) -> usize {
        self.units.borrow_mut().nearest(at)
    }

    /// The places of a span of the file the text starts with.
    fn places(&self, span: Span) -> (usize, usize) {
        let mut units = self.units.borrow_mut();
        (units.of_byte(span.start()), units.of_byte(span.end()))
    }

    fn found(&self, found: &Finding) -> Found {
        let source = self.view.source;
        let is_own = |span: Span| source.file_at(span.start()) == FileId::MAIN;
        let file = source.file_at(found.span.start());
        let (from, to) = self.places(found.span);
        let own = is_own(found.span);
        let mend = found.mend.as_ref().filter(|mend| is_own(mend.span)).map(|mend| {
            let (from, to) = self.places(mend.span);
            Mended { title: mend.title.clone(), from, to, text: mend.text.clone() }
        });
        Found {
            from: own.then_some(from),
            to: own.then_some(to),
            file: (!own).then(|| source.name_of(file).to_owned()),
            line: source.location(found.span.start()).line,
            severity: match found.severity {
                Severity::Error => "error",
                Severity::Warning => "warning",
            },
            message: found.message.clone(),
            mend,
        }
    }

    /// The page on which the block begins that is written at a byte. Blocks are looked for as if they stood in
    /// the order in which they are written; one that does not may not be found.
    pub(super) fn page_of(&self, at: usize) -> Option<usize> {
        let (mut low, mut high) = (0, self.session.pages());
        let mut found = None;
        while low < high {
            let middle = low + (high - low) / 2;
            // A page may have no block: what follows it is on the next that has one.
            let next = (middle..high).find_map(|page| Some((page, self.starts(page)?)));
            match next {
                Some((page, starts)) if starts.iter().all(|own| *own < at) => low = page + 1,
                Some((page, starts)) => {
                    // It may have begun before.
                    found = starts.contains(&at).then_some(page).or(found);
                    high = middle;
                }
                None => high = middle,
            }
        }
        found
    }

    /// Where the blocks of a page are written; nothing where it has none.
    fn starts(&self, page: usize) -> Option<Vec<usize>> {
        let page = self.session.page(page)?;
        let starts: Vec<usize> = Page::flat(&page)
            .iter()
            .filter_map(|node| match node {
                Node::Group(group) => group.kind.block_at(),
                Node::Mark(_) | Node::Inset(_) => None,
            })
            .collect();
        (!starts.is_empty()).then_some(starts)
    }
}

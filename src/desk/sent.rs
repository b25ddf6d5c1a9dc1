//! Which pages a page of the browser has as they are.

use super::parts::{Replaced, replaced};
use serde::Serialize;
use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};

/// Bits of a number that JavaScript holds exactly, less than all of the hash.
const LOST_BITS: u32 = 11;

/// Most pages that are kept: more than are near to what is seen.
const MOST: usize = 12;

/// The pages that were sent last, by index. A page that looks as it did may say other places of the text, as those
/// under a line that was put in do.
#[derive(Clone, Debug, Default)]
pub struct SentPages(BTreeMap<usize, (u64, String)>);

/// A page as it is sent.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SentPage {
    /// A number for its SVG: pages that have the same are the same.
    pub number: u64,
    /// All of it; nothing where parts are replaced.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub svg: Option<String>,
    /// The number of the page whose parts are replaced.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of: Option<u64>,
    /// The parts, one after another.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub replaced: Vec<Replaced>,
}

impl SentPages {
    /// Takes a page as it is, and says all of it.
    pub(super) fn whole(&mut self, page: usize, svg: String) -> SentPage {
        let number = number(&svg);
        self.keep(page, number, svg.clone());
        SentPage { number, svg: Some(svg), of: None, replaced: Vec::new() }
    }

    /// Takes a page as it is, and says what makes it of the one that was sent; nothing where it is that one.
    pub(super) fn changed(&mut self, page: usize, svg: String) -> Option<SentPage> {
        let number = number(&svg);
        let Some((old, before)) = self.0.get(&page) else { return Some(self.whole(page, svg)) };
        if *old == number {
            return None;
        }
        let of = *old;
        let Some(replaced) = replaced(before, &svg) else { return Some(self.whole(page, svg)) };
        self.keep(page, number, svg);
        Some(SentPage { number, svg: None, of: Some(of), replaced })
    }

    /// Keeps a page, and lets go of the one that is farthest from it where there are too many: it is sent whole when
    /// it is seen again.
    fn keep(&mut self, page: usize, number: u64, svg: String) {
        self.0.insert(page, (number, svg));
        if self.0.len() > MOST
            && let Some(farthest) = self.0.keys().copied().max_by_key(|own| own.abs_diff(page))
        {
            self.0.remove(&farthest);
        }
    }
}

/// A number for an SVG.
fn number(svg: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    svg.hash(&mut hasher);
    hasher.finish() >> LOST_BITS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_sent_when_it_is_another() {
        let mut sent = SentPages::default();
        let taken = [(0, "a"), (0, "a"), (1, "a"), (0, "b"), (0, "a")];
        let is_sent = taken.map(|(page, svg)| sent.changed(page, svg.to_owned()).is_some());
        assert_eq!(is_sent, [true, false, true, true, true]);
    }

    #[test]
    fn parts_are_sent_of_a_page_that_is_known() {
        let page = |sign: &str| format!("<svg>\n<g class=\"page\">\n<{sign}/>\n</g>\n</svg>\n");
        let mut sent = SentPages::default();
        let first = sent.whole(0, page("a"));
        assert_eq!(first.svg, Some(page("a")));
        let next = sent.changed(0, page("b")).expect("it is another");
        assert_eq!((next.svg, next.of, next.replaced.len()), (None, Some(first.number), 1));
        // Far away from it, it is let go.
        for far in 100..100 + MOST {
            sent.whole(far, page("a"));
        }
        let whole = sent.changed(0, page("a")).expect("it is not known");
        assert_eq!((whole.svg, whole.number), (Some(page("a")), first.number));
        assert_eq!(sent.0.len(), MOST);
    }
}

//! Which pages a page of the browser has as they are.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};

/// The pages that were sent last, as numbers for their SVG. A page that looks as it did may say other places of
/// the text, as those under a line that was put in do.
#[derive(Clone, Debug, Default)]
pub struct SentPages(BTreeMap<usize, u64>);

impl SentPages {
    /// Takes a page as it is; whether it is another than the one that was sent.
    pub(super) fn take(&mut self, page: usize, svg: &str) -> bool {
        let mut hasher = DefaultHasher::new();
        svg.hash(&mut hasher);
        let number = hasher.finish();
        self.0.insert(page, number) != Some(number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_sent_when_it_is_another() {
        let mut sent = SentPages::default();
        let taken = [(0, "a"), (0, "a"), (1, "a"), (0, "b"), (0, "a")];
        assert_eq!(taken.map(|(page, svg)| sent.take(page, svg)), [true, false, true, true, true]);
    }
}

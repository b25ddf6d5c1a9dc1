//! How pages are numbered.

use super::breaking::Leaf;
use crate::score::Header;

/// How pages are numbered: those in front in Roman numerals, the others from 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Labels {
    /// How many pages are numbered apart.
    pub front: usize,
}

impl Labels {
    /// The labels of a book whose body begins with the piece of an index.
    pub fn of_front(header: &Header, body: usize, leaves: &[Leaf]) -> Self {
        if !header.roman_front {
            return Self::default();
        }
        let first = leaves.iter().position(|leaf| leaf.pieces.end > body);
        Self { front: first.unwrap_or(leaves.len()) }
    }

    /// How many figures are printed on a page.
    pub fn figures(self, page: usize) -> usize {
        match page.checked_sub(self.front) {
            Some(after) => (after + 1).ilog10() as usize + 1,
            None => roman(page + 1).len(),
        }
    }

    /// What is printed on a page, by its index.
    pub fn of(self, page: usize) -> String {
        match page.checked_sub(self.front) {
            Some(after) => (after + 1).to_string(),
            None => roman(page + 1),
        }
    }
}

/// A number in small Roman numerals.
fn roman(number: usize) -> String {
    const SIGNS: [(usize, &str); 13] = [
        (1000, "m"),
        (900, "cm"),
        (500, "d"),
        (400, "cd"),
        (100, "c"),
        (90, "xc"),
        (50, "l"),
        (40, "xl"),
        (10, "x"),
        (9, "ix"),
        (5, "v"),
        (4, "iv"),
        (1, "i"),
    ];
    let mut left = number;
    let mut written = String::new();
    for (value, sign) in SIGNS {
        written.push_str(&sign.repeat(left / value));
        left %= value;
    }
    written
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The usual table of Roman numerals.
    #[test]
    fn front_pages_are_numbered_apart() {
        let labels = Labels { front: 6 };
        let said: Vec<String> = (0..8).map(|page| labels.of(page)).collect();
        assert_eq!(said, ["i", "ii", "iii", "iv", "v", "vi", "1", "2"]);
        for page in (0..20).chain([103, 104, 105, 106, 1004, 1005, 1006]) {
            assert_eq!(labels.figures(page), labels.of(page).len(), "{page}");
        }
        assert_eq!(roman(1994), "mcmxciv");
        assert_eq!(roman(48), "xlviii");
    }
}

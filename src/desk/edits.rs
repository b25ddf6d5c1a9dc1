//! Changes of a text, in bytes.

use super::ask::Edit;
use super::units::Units;
use std::ops::Range;

/// Changes one after another, each in bytes of the text as the one before left it. Nothing where one does not fit, or the text that comes of them is not so long: then the page that
/// sent them has another text.
#[must_use]
pub fn edits_in(text: &str, edits: &[Edit], length: usize) -> Option<Vec<(Range<usize>, String)>> {
    let mut text = text.to_owned();
    let mut found = Vec::with_capacity(edits.len());
    for edit in edits {
        let mut units = Units::new(&text);
        let range = units.byte_of(edit.from)?..units.byte_of(edit.to)?;
        if range.start > range.end {
            return None;
        }
        text.replace_range(range.clone(), &edit.text);
        found.push((range, edit.text.clone()));
    }
    (Units::new(&text).length() == length).then_some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edit(from: usize, to: usize, text: &str) -> Edit {
        Edit { from, to, text: text.to_owned() }
    }

    #[test]
    fn each_is_of_the_text_as_the_one_before_left_it() {
        let edits = [edit(0, 0, "🥁"), edit(2, 3, "é"), edit(3, 3, "x")];
        let found = edits_in("abc", &edits, 6).expect("they fit");
        let ranges: Vec<_> = found.into_iter().map(|(range, _)| range).collect();
        assert_eq!(ranges, [0..0, 4..5, 6..6]);
    }

    #[test]
    fn those_of_another_text_do_not_fit() {
        assert_eq!(edits_in("abc", &[edit(0, 4, "")], 0), None);
        assert_eq!(edits_in("🥁", &[edit(1, 2, "")], 1), None);
        assert_eq!(edits_in("abc", &[edit(2, 1, "")], 3), None);
        assert_eq!(edits_in("abc", &[edit(0, 1, "")], 3), None);
    }
}

//! Rows of hits: plain ones are read without the grammar, and all others by it.

use super::grammar::{PLAIN, Piece};
use super::row::Reader;
use super::tree::{CellGroup, Entry};
use super::{cells, plain_cells};

/// Reads the content of a row of hits.
pub fn read(reader: &mut Reader<'_>, piece: Piece<'_>) -> Vec<Entry<CellGroup>> {
    let plain = if PLAIN { plain_cells::read(piece) } else { None };
    plain.unwrap_or_else(|| cells::read(reader, piece))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Diagnostics;
    use crate::syntax::limits::{GROUP_CELLS, SPLIT_CELLS, STRIKES};
    use proptest::prelude::*;

    /// Where a row is plain, the grammar comes to the same, and finds no fault. Whether it is plain.
    fn is_read_alike(text: &str) -> bool {
        let mut found = Diagnostics::default();
        let mut reader = Reader::new(&mut found);
        let piece = Piece { text, start: 7 };
        let by_grammar = cells::read(&mut reader, piece);
        let Some(plain) = plain_cells::read(piece) else { return false };
        assert!(!reader.damaged, "{text}");
        assert_eq!(format!("{plain:?}"), format!("{by_grammar:?}"), "{text}");
        true
    }

    #[test]
    fn what_is_plain_and_what_is_not() {
        for text in [
            "",
            "  s ",
            "ssss s.-. | [ss]s(s)S |'s ''s '''s",
            "[[[s]]]_ c+k+(s)+^H ^(s) '^S|s",
            "s| | |s",
        ] {
            assert!(is_read_alike(text), "{text}");
        }
        let many = "s".repeat(GROUP_CELLS + 1);
        let split = format!("[{}]", "s".repeat(SPLIT_CELLS + 1));
        let joined = ["s"; STRIKES + 1].join("+");
        for text in [
            "s:2",
            "s||",
            "|: s",
            "s |.",
            "%",
            "s//",
            "s~",
            "s!",
            "s,",
            "s=",
            "s?",
            "{t}s",
            "ss|s:2",
            "''''s",
            "[]",
            "[s",
            "s]",
            "[[[[s]]]]",
            "(ss)",
            "(s",
            "s+",
            "+s",
            "s+'k",
            "^'s",
            "’s",
            "/",
            "s\ts",
            "4",
            "é",
            &many,
            &split,
            &joined,
        ] {
            assert!(!is_read_alike(text), "{text}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4_000))]

        #[test]
        fn plain_signs_in_any_order(text in "[sKt.'()\\[\\]| +^_-]{0,24}") {
            is_read_alike(&text);
        }

        #[test]
        fn groups_and_what_may_stand_among_them(
            parts in prop::collection::vec(
                prop::sample::select(vec![
                    "s", "ssss", "S.s.", "(s)", "'s", "''K", "[ss]", "[s[ss]]", "c+k", "^S", "-", "_", "|", " ", " | ",
                    "%", ":2", "||", ":|", "|:", " x4", "//", "~9", "{t}", "!", "?", ",", "=", "4", "…", "\t", "é",
                ]),
                0..24,
            ),
        ) {
            is_read_alike(&parts.concat());
        }
    }
}

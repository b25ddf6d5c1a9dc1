//! Places in a text in code units of UTF-16, as JavaScript counts them.

/// A text, for turning places of one kind into those of the other. Places that come in order are found
/// without counting from the start again.
#[derive(Debug)]
pub struct Units<'a> {
    text: &'a str,
    is_ascii: bool,
    /// A byte and the code units before it.
    known: (usize, usize),
}

impl<'a> Units<'a> {
    pub fn new(text: &'a str) -> Self {
        Self { text, is_ascii: text.is_ascii(), known: (0, 0) }
    }

    /// How long the text is.
    pub fn length(&mut self) -> usize {
        self.of_byte(self.text.len())
    }

    /// The code units before a byte; those of the text where it is past its end. A byte within a character
    /// counts as its start.
    pub fn of_byte(&mut self, byte: usize) -> usize {
        let byte = byte.min(self.text.len());
        if self.is_ascii {
            return byte;
        }
        if byte < self.known.0 {
            self.known = (0, 0);
        }
        let (from, mut units) = self.known;
        let mut at = from;
        for character in self.text.get(from..).unwrap_or_default().chars() {
            let end = at + character.len_utf8();
            if end > byte {
                break;
            }
            (at, units) = (end, units + character.len_utf16());
        }
        self.known = (at, units);
        units
    }

    /// The byte at so many code units; nothing past the end of the text or within a character.
    pub fn byte_of(&mut self, wanted: usize) -> Option<usize> {
        if self.is_ascii {
            return (wanted <= self.text.len()).then_some(wanted);
        }
        if wanted < self.known.1 {
            self.known = (0, 0);
        }
        let (from, mut units) = self.known;
        let mut at = from;
        for character in self.text.get(from..).unwrap_or_default().chars() {
            if units >= wanted {
                break;
            }
            (at, units) = (at + character.len_utf8(), units + character.len_utf16());
        }
        self.known = (at, units);
        (units == wanted).then_some(at)
    }

    /// The byte at so many code units, or the nearest before; the end of the text past it.
    pub fn nearest(&mut self, wanted: usize) -> usize {
        (0..2).find_map(|less| self.byte_of(wanted.checked_sub(less)?)).unwrap_or(self.text.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn places_are_those_that_are_counted_one_by_one(text in "[a-zé🥁\n ]{0,40}", cut in 0usize..41) {
            let byte = text.char_indices().nth(cut).map_or(text.len(), |(at, _)| at);
            let counted = text[..byte].encode_utf16().count();
            let mut units = Units::new(&text);
            prop_assert_eq!(units.of_byte(byte), counted);
            prop_assert_eq!(units.byte_of(counted), Some(byte));
            prop_assert_eq!(units.of_byte(byte / 2), text[..text.floor_char_boundary(byte / 2)].encode_utf16().count());
            prop_assert_eq!(units.length(), text.encode_utf16().count());
        }
    }

    #[test]
    fn no_place_is_within_a_character_or_past_the_end() {
        let mut units = Units::new("a🥁b");
        assert_eq!(
            (units.byte_of(1), units.byte_of(2), units.byte_of(3)),
            (Some(1), None, Some(5))
        );
        assert_eq!((units.byte_of(4), units.byte_of(5)), (Some(6), None));
        assert_eq!((units.nearest(2), units.nearest(99)), (1, 6));
    }
}

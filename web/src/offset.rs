//! Places in a text as JavaScript counts them: in code units of UTF-16.

use std::ops::Range;

/// Why two numbers are no range of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OffsetError {
    /// A number that counts nothing: below zero, broken, or no number.
    NoCount(f64),
    /// An offset past the end of a text of so many code units.
    PastEnd(f64, usize),
    /// An offset between the two code units of one character.
    InsideCharacter(f64),
    /// An end before its start.
    Backwards,
}

impl std::fmt::Display for OffsetError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoCount(offset) => write!(f, "{offset} is not an offset in a text"),
            Self::PastEnd(offset, units) => {
                write!(f, "the offset {offset} is past the end of the text, which is {units} long")
            }
            Self::InsideCharacter(offset) => {
                write!(f, "the offset {offset} is inside a character")
            }
            Self::Backwards => f.write_str("the range ends before it starts"),
        }
    }
}

impl std::error::Error for OffsetError {}

/// The bytes of a range that is counted in code units of UTF-16.
///
/// # Errors
/// Says why there is no such range.
pub fn bytes(text: &str, start: f64, end: f64) -> Result<Range<usize>, OffsetError> {
    let (from, to) = (byte(text, start)?, byte(text, end)?);
    if from > to {
        return Err(OffsetError::Backwards);
    }
    Ok(from..to)
}

/// The byte of an offset. Numbers come as JavaScript has them: as integers they would be cut to some
/// range in silence.
fn byte(text: &str, offset: f64) -> Result<usize, OffsetError> {
    if !(offset >= 0.0 && offset.fract() == 0.0) {
        return Err(OffsetError::NoCount(offset));
    }
    let mut units = 0;
    for (byte, character) in text.char_indices() {
        let here = units as f64;
        if here == offset {
            return Ok(byte);
        }
        if here > offset {
            return Err(OffsetError::InsideCharacter(offset));
        }
        units += character.len_utf16();
    }
    if units as f64 == offset {
        Ok(text.len())
    } else if units as f64 > offset {
        Err(OffsetError::InsideCharacter(offset))
    } else {
        Err(OffsetError::PastEnd(offset, units))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_become_bytes() {
        // One, two and four bytes; the last is two code units.
        let text = "aé🥁";
        assert_eq!(bytes(text, 0.0, 1.0), Ok(0..1));
        assert_eq!(bytes(text, 1.0, 2.0), Ok(1..3));
        assert_eq!(bytes(text, 2.0, 4.0), Ok(3..7));
        assert_eq!(bytes(text, 4.0, 4.0), Ok(7..7));
        assert_eq!(bytes("", 0.0, 0.0), Ok(0..0));
    }

    #[test]
    fn what_is_no_range_is_refused() {
        for text in ["a🥁", "a🥁b"] {
            assert_eq!(bytes(text, 2.0, 3.0), Err(OffsetError::InsideCharacter(2.0)));
            assert_eq!(bytes(text, 0.0, 2.0), Err(OffsetError::InsideCharacter(2.0)));
        }
        assert_eq!(bytes("a🥁", 0.0, 4.0), Err(OffsetError::PastEnd(4.0, 3)));
        assert_eq!(bytes("a🥁", 3.0, 1.0), Err(OffsetError::Backwards));
        for odd in [-1.0, 0.5, f64::NEG_INFINITY] {
            assert_eq!(bytes("a", odd, 1.0), Err(OffsetError::NoCount(odd)));
        }
        assert!(bytes("a", f64::NAN, 1.0).is_err());
        assert!(bytes("a", 0.0, f64::INFINITY).is_err());
        assert!(bytes("a", 0.0, 4_294_967_297.0).is_err());
    }
}

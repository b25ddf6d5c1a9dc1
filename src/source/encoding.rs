//! Files that are not text.

use super::line_table::Location;
use super::report::legible;
use super::text::Source;
use std::fmt;

/// A file that is not UTF-8 and so cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotText {
    name: String,
    /// Where the first byte stands that begins no character.
    pub location: Location,
    /// That byte's place in the file, from 0.
    pub offset: usize,
    /// That byte; nothing where the file ends inside a character.
    pub byte: Option<u8>,
    wide: bool,
}

impl fmt::Display for NotText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Location { line, column, .. } = self.location;
        write!(f, "{}:{line}:{column}: this file is not UTF-8 text: ", legible(&self.name))?;
        match self.byte {
            Some(byte) => {
                write!(f, "the byte {byte:#04X} at offset {} begins no character", self.offset)?;
            }
            None => write!(f, "it ends inside a character at offset {}", self.offset)?,
        }
        f.write_str(if self.wide {
            "\n  = it looks like UTF-16; save it as UTF-8 in your editor"
        } else {
            "\n  = save it as UTF-8 in your editor"
        })
    }
}

impl std::error::Error for NotText {}

impl Source {
    /// Takes the bytes of a file and the name it is reported under.
    ///
    /// # Errors
    /// Where the bytes are not UTF-8: the place of the first that is wrong.
    pub fn from_bytes(name: impl Into<String>, bytes: Vec<u8>) -> Result<Self, NotText> {
        let error = match String::from_utf8(bytes) {
            Ok(text) => return Ok(Self::new(name, text)),
            Err(error) => error,
        };
        let fault = error.utf8_error();
        let offset = fault.valid_up_to();
        let bytes = error.as_bytes();
        let good = String::from_utf8_lossy(bytes.get(..offset).unwrap_or(&[]));
        let before = Self::new(name, good);
        Err(NotText {
            location: before.location(offset),
            name: before.name().to_owned(),
            offset,
            byte: fault.error_len().and_then(|_| bytes.get(offset).copied()),
            wide: matches!(bytes, [0xff, 0xfe, ..] | [0xfe, 0xff, ..]),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_bad_byte_is_named() {
        let error = Source::from_bytes("porch.flam", b"title: A\nauthor: Ren\xe9\n".to_vec())
            .expect_err("not UTF-8");
        assert_eq!((error.location.line, error.location.column), (2, 12));
        assert_eq!(
            error.to_string(),
            "porch.flam:2:12: this file is not UTF-8 text: the byte 0xE9 at offset 20 begins no \
             character\n  = save it as UTF-8 in your editor"
        );
    }

    #[test]
    fn a_cut_character_and_wide_text_are_told_apart() {
        let cut = Source::from_bytes("a", b"Ren\xc3".to_vec()).expect_err("cut");
        assert!(cut.to_string().contains("ends inside a character at offset 3"));
        let wide = Source::from_bytes("a", b"\xff\xfeh\0".to_vec()).expect_err("wide");
        assert!(wide.to_string().contains("UTF-16"));
    }
}

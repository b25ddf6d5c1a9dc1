//! How a text lies in its file: with which line ends, and with a byte-order mark or without.

use crate::command::files::MARK;

/// How a text lies in its file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Form {
    marked: bool,
    /// Whether lines end as on Windows.
    wide: bool,
}

impl Form {
    /// A text as a page holds it, whose lines all end in one way, and how it lies in its file.
    pub fn read(text: &str) -> (String, Self) {
        let bare = text.strip_prefix(MARK);
        let marked = bare.is_some();
        let bare = bare.unwrap_or(text);
        let wide = bare.matches("\r\n").count() * 2 > bare.matches('\n').count();
        (bare.replace("\r\n", "\n").replace('\r', "\n"), Self { marked, wide })
    }

    /// A text as it lies in its file.
    pub fn write(self, text: &str) -> Vec<u8> {
        let mark = if self.marked { MARK } else { "" };
        let text = if self.wide { text.replace('\n', "\r\n") } else { text.to_owned() };
        [mark.as_bytes(), text.as_bytes()].concat()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_is_not_touched_is_written_as_it_was() {
        for text in ["", "a\nb", "a\r\nb\r\n", "\u{feff}a\n", "\u{feff}a\r\nb"] {
            let (held, form) = Form::read(text);
            assert!(!held.contains(['\r', '\u{feff}']), "{text:?}");
            assert_eq!(form.write(&held), text.as_bytes(), "{text:?}");
        }
    }
}

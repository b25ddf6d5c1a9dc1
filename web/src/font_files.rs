//! Headers that ask for font files, of which a page has none.

use flamacue::score::Score;
use flamacue::source::{Diagnostics, Source};

/// The key that asks for them.
const KEY: &[u8] = b"text-font";

/// What a text means. A header that asks for font files is a fault.
pub fn understand(source: &Source, diagnostics: &mut Diagnostics) -> Score {
    let score = flamacue::understand(source, diagnostics);
    refuse(&score, diagnostics);
    score
}

/// The fault of a header that asks for font files; whether it does.
pub fn refuse(score: &Score, diagnostics: &mut Diagnostics) -> bool {
    if let Some(asked) = &score.header.text_fonts {
        diagnostics
            .error(asked.span, "font files can't be read in a web page")
            .mend("take the line out: words are then set in the built-in faces");
    }
    score.header.text_fonts.is_some()
}

/// Whether a text could ask for font files: far quicker than understanding it, and hardly ever so.
pub fn may_be_asked_for(text: &str) -> bool {
    text.as_bytes().windows(KEY.len()).any(|word| word.eq_ignore_ascii_case(KEY))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whoever_asks_could_ask() {
        for text in ["text-font: A.otf\n", "title: A\nText-Font: A.otf\n", "TEXT-FONT: A.otf\n"] {
            let mut diagnostics = Diagnostics::default();
            let score = understand(&Source::new("a.flam", text), &mut diagnostics);
            assert!(score.header.text_fonts.is_some() && diagnostics.has_errors(), "{text}");
            assert!(may_be_asked_for(text), "{text}");
        }
        assert!(!may_be_asked_for("") && !may_be_asked_for("text: font\n"));
    }
}

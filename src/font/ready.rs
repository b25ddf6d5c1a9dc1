//! What nearly every page asks of its faces, made ready while the text is still read.

use super::face_style::FaceStyle;
use super::face_style::FaceStyle::{Italic, Regular, Semibold};
use super::fonts::Fonts;
use super::glyph::Glyph;
use crate::parallel::Stop;

/// Letters and figures of styles, those first that the most pages have: counting and sticking, numbers and titles in
/// the order of how often English has a letter (from memory), dynamics. A few at a time, so that a stop comes soon.
const LETTERS: [(FaceStyle, &str); 13] = [
    (Regular, "1234e+aRL"),
    (Semibold, "12345"),
    (Semibold, "etaoinshr"),
    (Regular, "567890"),
    (Italic, "mfp"),
    (Semibold, "dlucmfgp"),
    (Semibold, "67890.:"),
    (Semibold, "STABCDEP"),
    (Semibold, "bywkvxzjq"),
    (Regular, "toinshr"),
    (Regular, "dlucmfgp"),
    (Semibold, "FGHILMNO"),
    (Semibold, "RUVWJKQXYZ"),
];

/// Signs, in the same order.
const SIGNS: [Glyph; 12] = [
    Glyph::NOTEHEAD_BLACK,
    Glyph::NOTEHEAD_X_BLACK,
    Glyph::FLAG_8TH_UP,
    Glyph::REST_QUARTER,
    Glyph::REST_8TH,
    Glyph::TIME_SIG_4,
    Glyph::ARTIC_ACCENT_ABOVE,
    Glyph::REST_16TH,
    Glyph::AUGMENTATION_DOT,
    Glyph::NOTEHEAD_PARENTHESIS_LEFT,
    Glyph::NOTEHEAD_PARENTHESIS_RIGHT,
    Glyph::TUPLET_3,
];

impl Fonts {
    /// Makes ready what nearly every page asks of its faces, until it is stopped. What isn't ready then becomes so when
    /// it is asked for.
    pub fn make_ready(&self, stop: Stop<'_>) {
        let (first, rest) = LETTERS.split_at(LETTERS.len() / 2);
        let letters = |of: &[(FaceStyle, &str)]| {
            for (style, letters) in of.iter().take_while(|_| !stop()) {
                self.text.bounds(&self.text.shape(letters, *style));
            }
        };
        letters(first);
        for sign in SIGNS.iter().take_while(|_| !stop()) {
            self.music.strips(*sign);
        }
        letters(rest);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};

    #[test]
    fn signs_are_ready_but_not_after_a_stop() {
        let ready = |most: usize| {
            let fonts = Fonts::built_in().expect("fonts");
            let asked = AtomicUsize::new(0);
            fonts.make_ready(&|| asked.fetch_add(1, Ordering::Relaxed) >= most);
            SIGNS.iter().filter(|sign| fonts.music.has_strips(**sign)).count()
        };
        assert_eq!(ready(usize::MAX), SIGNS.len());
        assert_eq!(ready(LETTERS.len() / 2 + 3), 3, "letters of most pages, and three signs");
        assert_eq!(ready(0), 0);
    }
}

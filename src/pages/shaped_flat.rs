//! A flat text whose words are shaped once: where its lines end is measured on the glyphs that they are then made of.

use super::flat_text::{FlatText, Look, TextPart};
use crate::font::{Fonts, GlyphRun};
use std::ops::Range;
use std::sync::Arc;

/// A flat text with its glyphs.
pub struct ShapedFlat<'a> {
    /// The faces.
    pub fonts: &'a Fonts,
    /// The text.
    pub flat: &'a FlatText,
    /// Its stretches of one look, each shaped whole where its words can be parted again.
    whole: Vec<Option<Arc<GlyphRun>>>,
}

impl<'a> ShapedFlat<'a> {
    /// Shapes a text.
    pub fn new(fonts: &'a Fonts, flat: &'a FlatText) -> Self {
        let parts = flat.parts(0..flat.text.len());
        let whole = parts.map(|part| fonts.text.shape_to_part(part.words, part.look.face));
        Self { fonts, flat, whole: whole.collect() }
    }

    /// How wide a stretch is, in ems.
    pub fn width(&self, range: Range<usize>) -> f64 {
        let width = |part: TextPart<'_>| {
            let known = self.known(&part).and_then(|(whole, words)| whole.width_of(&words));
            let width = known.unwrap_or_else(|| self.shape(part.words, part.look).width);
            width * part.look.size
        };
        self.flat.parts(range).map(width).sum()
    }

    /// The glyphs of a part of the text.
    pub fn run(&self, part: &TextPart<'_>) -> Arc<GlyphRun> {
        let known = self.known(part).and_then(|(whole, words)| {
            if words == (0..whole.text.len()) {
                return Some(whole.clone());
            }
            whole.part(&words).map(Arc::new)
        });
        known.unwrap_or_else(|| self.shape(part.words, part.look))
    }

    /// The glyphs of words of a look.
    pub fn shape(&self, words: &str, look: Look) -> Arc<GlyphRun> {
        self.fonts.text.shape(words, look.face)
    }

    /// The run a part stands in, and its bytes there.
    fn known(&self, part: &TextPart<'_>) -> Option<(&Arc<GlyphRun>, Range<usize>)> {
        let whole = self.whole.get(part.nth)?.as_ref()?;
        Some((whole, part.start..part.start + part.words.len()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::font::FaceStyle;

    /// Kerned, ligated, accented and plain words, digits and signs; and what is shaped by itself.
    const TEXTS: [&str; 6] = [
        "AV To fjord, office “waffle” – fi ffi Ty. 12 1/2 f) T' Va Wo P, r. L’ (f) [j] To",
        "Über Größe, naïve façade; coöperate Çelik łódź Ž fi-fi",
        "word\u{ad}word e\u{301}e a\u{2060}b",
        "Привет мир and ΑΒΓ fi",
        "no 漢字 face has, \u{2028} this",
        "",
    ];

    #[test]
    fn every_stretch_is_what_it_is_alone() {
        let fonts = Fonts::built_in().expect("fonts");
        let mut parted = 0;
        for (text, face) in TEXTS.into_iter().flat_map(|t| FaceStyle::ALL.map(|face| (t, face))) {
            let mut flat = FlatText::default();
            flat.push(text, face);
            let shaped = ShapedFlat::new(&fonts, &flat);
            let places: Vec<usize> =
                text.char_indices().map(|(at, _)| at).chain([text.len()]).collect();
            for (nth, start) in places.iter().enumerate() {
                for end in places.iter().skip(nth + 1) {
                    let range = *start..*end;
                    let alone = fonts.text.shape(&text[range.clone()], face);
                    let said = format!("{:?} of {text:?} in {face:?}", &text[range.clone()]);
                    assert_eq!(
                        shaped.width(range.clone()).to_bits(),
                        alone.width.to_bits(),
                        "{said}"
                    );
                    for part in flat.parts(range.clone()) {
                        assert_eq!(*shaped.run(&part), *alone, "{said}");
                        let known = shaped.known(&part);
                        parted +=
                            usize::from(known.is_some_and(|(w, words)| w.part(&words).is_some()));
                    }
                }
            }
        }
        assert!(parted > 5_000, "only {parted} are taken out of the whole");
    }
}

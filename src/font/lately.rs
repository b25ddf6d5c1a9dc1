//! Words that this thread shaped or found lately: syllables and letters under a staff are the same few over and over,
//! and threads that ask for them one after another would wait for each other.

use super::face_style::FaceStyle;
use super::run::GlyphRun;
use std::cell::RefCell;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// How many bytes words have at most that are kept here.
const LONGEST: usize = 8;
/// How many are kept at most.
const KEPT: usize = 256;

/// Faces as they are, told apart from all others that are or were in the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct FacesId(u64);

impl FacesId {
    /// One that no others have.
    pub(super) fn new() -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        Self(NEXT.fetch_add(1, Ordering::Relaxed))
    }
}

type Kept = Vec<Option<(FacesId, Arc<GlyphRun>)>>;

thread_local! {
    /// Each at the place that its words have.
    static KEPT_HERE: RefCell<Kept> = RefCell::default();
}

/// Words in a style of some faces: as they were lately, or made now and kept.
pub(super) fn or_made(
    faces: FacesId,
    (text, style): (&str, FaceStyle),
    make: impl FnOnce() -> Arc<GlyphRun>,
) -> Arc<GlyphRun> {
    if text.len() > LONGEST || !cfg!(feature = "parallel") {
        return make();
    }
    let at = place(text, style);
    let known = KEPT_HERE.with_borrow(|kept| {
        let (own, run) = kept.get(at)?.as_ref()?;
        (*own == faces && run.style == style && run.text == text).then(|| run.clone())
    });
    known.unwrap_or_else(|| {
        let run = make();
        KEPT_HERE.with_borrow_mut(|kept| {
            if kept.is_empty() {
                kept.resize(KEPT, None);
            }
            if let Some(place) = kept.get_mut(at) {
                *place = Some((faces, run.clone()));
            }
        });
        run
    })
}

/// The place that words have among those that are kept.
fn place(text: &str, style: FaceStyle) -> usize {
    let mixed = |mixed: usize, byte| mixed.wrapping_mul(31).wrapping_add(usize::from(byte));
    text.bytes().fold(style as usize * 53, mixed) % KEPT
}

#[cfg(test)]
mod tests {
    use crate::font::{FaceStyle, TextFonts};

    #[test]
    fn words_kept_lately_are_those_of_their_style_and_faces() {
        let first = TextFonts::built_in().expect("the faces are there");
        let mut others = TextFonts::built_in().expect("the faces are there");
        let mono = others.data(others.chain(FaceStyle::Mono)[0]).to_vec();
        others.prefer(&[("another face".to_owned(), mono)]).expect("a face");
        for text in ["1", "e", "&", "a", "12", "tri", "p", "let", "\u{e9}", ""] {
            for fonts in [&first, &others, &first] {
                for style in [FaceStyle::Regular, FaceStyle::Italic, FaceStyle::Regular] {
                    let run = fonts.shape(text, style);
                    assert_eq!((run.text.as_str(), run.style), (text, style));
                    let alone = TextFonts::built_in().expect("the faces are there");
                    if std::ptr::eq(fonts, &first) {
                        assert_eq!(*run, *alone.shape(text, style), "{text}");
                    } else if style == FaceStyle::Regular && !text.is_empty() {
                        assert_ne!(*run, *alone.shape(text, style), "{text}");
                    }
                }
            }
        }
    }
}

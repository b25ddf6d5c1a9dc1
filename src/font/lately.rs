//! Words that this thread shaped or found lately: syllables and letters under a staff, and the words of a text, are the
//! same few over and over, and threads that ask for them one after another, or count who holds them, would wait for each
//! other.

use super::face_style::FaceStyle;
use std::cell::RefCell;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread::LocalKey;

/// How many bytes words have at most that are kept here.
const LONGEST: usize = 8;
/// How many are kept at most: two to the power of [`BITS`].
const KEPT: usize = 1 << BITS;
const BITS: u32 = 8;

/// Something that knows words, as faces as they are, told apart from all others that are or were in the program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct KnowerId(u64);

impl KnowerId {
    /// One that no others have.
    pub(super) fn new() -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        Self(NEXT.fetch_add(1, Ordering::Relaxed))
    }
}

impl Default for KnowerId {
    fn default() -> Self {
        Self::new()
    }
}

/// Short words as they are looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Words {
    knower: KnowerId,
    style: FaceStyle,
    length: u8,
    text: u64,
}

impl Words {
    /// Nothing where they are too long.
    fn new(knower: KnowerId, text: &str, style: FaceStyle) -> Option<Self> {
        let mut bytes = [0; LONGEST];
        bytes.get_mut(..text.len())?.copy_from_slice(text.as_bytes());
        Some(Self { knower, style, length: text.len() as u8, text: u64::from_le_bytes(bytes) })
    }

    /// The place that they have among those that are kept.
    fn place(self) -> usize {
        /// Two to the 64th divided by the golden ratio: it spreads what differs little (from memory: Knuth, "The Art
        /// of Computer Programming", volume 3, 6.4).
        const SPREADS: u64 = 0x9E37_79B9_7F4A_7C15;
        let others = self.knower.0 << 8 | u64::from(self.length) << 4 | self.style as u64;
        let mixed = self.text.wrapping_mul(SPREADS) ^ others.wrapping_mul(SPREADS);
        (mixed.wrapping_mul(SPREADS) >> (u64::BITS - BITS)) as usize
    }
}

/// What a thread keeps of words, each at their place.
pub(super) struct Lately<T>(Vec<Option<(Words, T)>>);

impl<T> Default for Lately<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

/// What is known of words in a style: as this thread had it lately, or as all threads have it, taken by `copy`, or made
/// now.
pub(super) fn or_made<T: Clone>(
    kept: &'static LocalKey<RefCell<Lately<T>>>,
    (knower, text, style): (KnowerId, &str, FaceStyle),
    find: impl FnOnce() -> Option<T>,
    copy: impl FnOnce(&T) -> T,
    make: impl FnOnce() -> T,
) -> T {
    let words = Words::new(knower, text, style).filter(|_| cfg!(feature = "parallel"));
    let Some(words) = words else { return find().unwrap_or_else(make) };
    let at = words.place();
    let known = kept.with_borrow(|Lately(kept)| {
        let (known, what) = kept.get(at)?.as_ref()?;
        (*known == words).then(|| what.clone())
    });
    known.unwrap_or_else(|| {
        // Most of what comes but once is made here.
        let what = find().map_or_else(make, |found| copy(&found));
        kept.with_borrow_mut(|Lately(kept)| {
            if kept.is_empty() {
                kept.resize_with(KEPT, || None);
            }
            if let Some(place) = kept.get_mut(at) {
                *place = Some((words, what.clone()));
            }
        });
        what
    })
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

//! The glyphs of words. A book has a million of them, and nearly all stand one after another on the baseline.

use super::face_style::FaceId;
use kurbo::Vec2;
use std::ops::Range;

/// One glyph of a run. Lengths are in ems.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShapedGlyph {
    /// Its face.
    pub face: FaceId,
    /// Its number in the face.
    pub id: u16,
    /// Its origin, x right from the run's origin.
    pub x: f64,
    /// Its origin, y down from the baseline.
    pub y: f32,
    /// Its own advance.
    pub advance: f64,
    /// The byte of the run's text its cluster begins at.
    pub cluster: u32,
}

impl ShapedGlyph {
    /// Its origin from that of the run, y down.
    pub fn origin(&self) -> Vec2 {
        Vec2::new(self.x, self.y.into())
    }
}

/// The glyphs of a run, left to right.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum RunGlyphs {
    /// One after another on the baseline.
    Row(GlyphRow),
    /// Each at a place of its own.
    Placed(Vec<ShapedGlyph>),
}

impl RunGlyphs {
    /// How many there are.
    pub(super) fn count(&self) -> usize {
        match self {
            Self::Row(row) => row.glyphs.len(),
            Self::Placed(glyphs) => glyphs.len(),
        }
    }

    /// Each of them.
    pub(super) fn iter(&self) -> impl Iterator<Item = ShapedGlyph> {
        let (row, placed) = match self {
            Self::Row(row) => (Some(row), &[][..]),
            Self::Placed(glyphs) => (None, glyphs.as_slice()),
        };
        row.into_iter().flat_map(GlyphRow::iter).chain(placed.iter().copied())
    }

    /// The byte of the run's text at which the cluster of each begins.
    pub(super) fn clusters(&self) -> impl Iterator<Item = u32> {
        let (row, placed) = match self {
            Self::Row(row) => (row.glyphs.as_slice(), &[][..]),
            Self::Placed(glyphs) => (&[][..], glyphs.as_slice()),
        };
        let row = row.iter().map(|glyph| glyph.cluster());
        row.chain(placed.iter().map(|glyph| glyph.cluster))
    }

    /// The face of each and its number in it.
    pub(super) fn ids(&self) -> impl Iterator<Item = (FaceId, u16)> {
        let (row, placed) = match self {
            Self::Row(row) => (Some(row), &[][..]),
            Self::Placed(glyphs) => (None, glyphs.as_slice()),
        };
        let placed = placed.iter().map(|glyph| (glyph.face, glyph.id));
        row.into_iter().flat_map(GlyphRow::ids).chain(placed)
    }
}

/// Glyphs of one face that stand one after another.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct GlyphRow {
    /// Their face.
    pub(super) face: FaceId,
    /// What advances are counted in, in ems.
    pub(super) unit: f64,
    pub(super) glyphs: Vec<RowGlyph>,
}

impl GlyphRow {
    /// How wide they are, in ems.
    pub(super) fn width(&self) -> f64 {
        width(&self.glyphs, self.unit)
    }

    /// How wide those of a part of their words are, which stand as they would alone, in ems.
    pub(super) fn width_of(&self, words: &Range<usize>, end: usize) -> Option<f64> {
        Some(width(self.parted(words, end)?, self.unit))
    }

    /// The glyphs of a part of their words, which end at a byte, as a row of its own; nothing where what stands beside
    /// them might shape them.
    pub(super) fn part(&self, words: &Range<usize>, end: usize) -> Option<Self> {
        let start = u32::try_from(words.start).ok()?;
        let own =
            self.parted(words, end)?.iter().map(|glyph| glyph.moved(|at| at.saturating_sub(start)));
        Some(Self { glyphs: own.collect(), ..*self })
    }

    fn parted(&self, words: &Range<usize>, end: usize) -> Option<&[RowGlyph]> {
        let place = |byte: usize| {
            let nth = self.glyphs.partition_point(|glyph| (glyph.cluster() as usize) < byte);
            let free = match self.glyphs.get(nth) {
                Some(glyph) => glyph.cluster() as usize == byte && !glyph.is_tied(),
                None => byte == end,
            };
            free.then_some(nth)
        };
        self.glyphs.get(place(words.start)?..place(words.end)?).filter(|own| !own.is_empty())
    }

    /// Whether each glyph has words of its own, after those of the glyph before it.
    pub(super) fn has_own_words(&self) -> bool {
        self.glyphs.is_sorted_by(|glyph, next| glyph.cluster() < next.cluster())
    }

    fn ids(&self) -> impl Iterator<Item = (FaceId, u16)> {
        self.glyphs.iter().map(|glyph| (self.face, glyph.id))
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = ShapedGlyph> {
        let (face, mut x) = (self.face, 0.0);
        self.glyphs.iter().map(move |glyph| {
            let advance = f64::from(glyph.advance) * self.unit;
            let placed =
                ShapedGlyph { face, id: glyph.id, x, y: 0.0, advance, cluster: glyph.cluster() };
            x += advance;
            placed
        })
    }
}

fn width(glyphs: &[RowGlyph], unit: f64) -> f64 {
    glyphs.iter().fold(0.0, |width, glyph| width + f64::from(glyph.advance) * unit)
}

/// A glyph of a row, in little room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct RowGlyph {
    /// Its number in the face.
    pub(super) id: u16,
    /// Its own advance.
    pub(super) advance: i16,
    /// Twice the byte of the text its cluster begins at, and one more where it is tied.
    place: u32,
}

impl RowGlyph {
    /// A glyph that might be another one, or stand otherwise, were its words parted from those before them, where it
    /// is `tied`; nothing where a number has no room.
    pub(super) fn new(id: u32, advance: i32, cluster: u32, tied: bool) -> Option<Self> {
        let place = cluster.checked_mul(2)? + u32::from(tied);
        Some(Self { id: id.try_into().ok()?, advance: advance.try_into().ok()?, place })
    }

    /// The byte of the text its cluster begins at.
    pub(super) fn cluster(self) -> u32 {
        self.place / 2
    }

    fn is_tied(self) -> bool {
        self.place % 2 == 1
    }

    /// The same where no words stand before it.
    pub(super) fn untied(self) -> Self {
        Self { place: self.cluster() * 2, ..self }
    }

    /// The same of another byte of a text.
    pub(super) fn moved(self, to: impl Fn(u32) -> u32) -> Self {
        let place = to(self.cluster()).saturating_mul(2) | u32::from(self.is_tied());
        Self { place, ..self }
    }
}

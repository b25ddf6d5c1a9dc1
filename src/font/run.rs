//! Words turned into glyphs, and the faces they are set in.

use kurbo::Vec2;
use std::ops::Range;

/// A face of the text family.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FaceStyle {
    /// Upright.
    #[default]
    Regular,
    /// Upright, and heavier.
    Semibold,
    /// Italic.
    Italic,
    /// Italic, and heavier.
    SemiboldItalic,
    /// Letters of one width, for code.
    Mono,
}

impl FaceStyle {
    /// Every face.
    pub const ALL: [Self; 5] =
        [Self::Regular, Self::Semibold, Self::Italic, Self::SemiboldItalic, Self::Mono];

    /// The same, heavier; code has one weight.
    #[must_use]
    pub fn heavier(self) -> Self {
        match self {
            Self::Regular | Self::Semibold => Self::Semibold,
            Self::Italic | Self::SemiboldItalic => Self::SemiboldItalic,
            Self::Mono => Self::Mono,
        }
    }

    /// The same, italic; code is upright.
    #[must_use]
    pub fn slanted(self) -> Self {
        match self {
            Self::Regular | Self::Italic => Self::Italic,
            Self::Semibold | Self::SemiboldItalic => Self::SemiboldItalic,
            Self::Mono => Self::Mono,
        }
    }

    /// Its name in JSON and in style sheets.
    pub fn name(self) -> &'static str {
        match self {
            Self::Regular => "regular",
            Self::Semibold => "semibold",
            Self::Italic => "italic",
            Self::SemiboldItalic => "semibold-italic",
            Self::Mono => "mono",
        }
    }
}

/// A face among all that words are set in: by its place in the list of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FaceId(pub u8);

/// Words turned into glyphs. Lengths are in ems: multiply by the size.
#[derive(Clone, Debug, PartialEq)]
pub struct GlyphRun {
    /// The words.
    pub text: String,
    /// The style asked for.
    pub style: FaceStyle,
    /// Its glyphs, left to right.
    pub glyphs: Vec<ShapedGlyph>,
    /// How far the next run's origin lies to the right.
    pub width: f64,
}

/// One glyph of a run. A book has a million of them: what needs little precision has little room.
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
    /// Whether it might be another one, or stand otherwise, were its words parted from those before them.
    pub tied: bool,
}

impl ShapedGlyph {
    /// Its origin from that of the run, y down.
    pub fn origin(&self) -> Vec2 {
        Vec2::new(self.x, self.y.into())
    }
}

/// Less than any face moves a glyph by, in ems.
const UNMOVED: f64 = 1e-7;

impl GlyphRun {
    /// A part of its words as a run of its own; nothing where what stands beside them might shape them.
    pub fn part(&self, words: &Range<usize>) -> Option<Self> {
        let (glyphs, width) = self.parted(words)?;
        let (mut x, start) = (0.0, u32::try_from(words.start).ok()?);
        let glyphs = glyphs.iter().map(|glyph| {
            let placed = ShapedGlyph { x, cluster: glyph.cluster.saturating_sub(start), ..*glyph };
            x += glyph.advance;
            placed
        });
        let text = self.text.get(words.clone())?.to_owned();
        Some(Self { text, style: self.style, glyphs: glyphs.collect(), width })
    }

    /// How wide a part of its words is, as [`GlyphRun::part`] has it.
    pub fn width_of(&self, words: &Range<usize>) -> Option<f64> {
        self.parted(words).map(|(_, width)| width)
    }

    /// The glyphs of a part of its words, which stand as they would alone, and how wide they are.
    fn parted(&self, words: &Range<usize>) -> Option<(&[ShapedGlyph], f64)> {
        let place = |byte: usize| {
            let nth = self.glyphs.partition_point(|glyph| (glyph.cluster as usize) < byte);
            let free = match self.glyphs.get(nth) {
                Some(glyph) => glyph.cluster as usize == byte && !glyph.tied,
                None => byte == self.text.len(),
            };
            free.then_some(nth)
        };
        let glyphs = self.glyphs.get(place(words.start)?..place(words.end)?)?;
        let first = glyphs.first()?;
        let mut width = 0.0;
        for glyph in glyphs {
            let moved = (glyph.x - first.x - width).abs() > UNMOVED || glyph.y != 0.0;
            if moved || glyph.face != first.face {
                return None;
            }
            width += glyph.advance;
        }
        Some((glyphs, width))
    }

    /// Each glyph with the words it stands for, in glyph order. Where several glyphs share the
    /// words of one cluster, the first of them has the words and the others have none.
    pub fn glyph_words(&self) -> impl Iterator<Item = (&ShapedGlyph, &str)> {
        let mut starts: Vec<usize> =
            self.glyphs.iter().map(|glyph| glyph.cluster as usize).collect();
        starts.sort_unstable();
        starts.dedup();
        starts.push(self.text.len());
        let mut before = None;
        self.glyphs.iter().map(move |glyph| {
            let cluster = glyph.cluster as usize;
            let first = before.replace(cluster) != Some(cluster);
            let next = starts.partition_point(|start| *start <= cluster);
            let end = starts.get(next).copied().unwrap_or(self.text.len());
            let words = if first { self.text.get(cluster..end) } else { None };
            (glyph, words.unwrap_or(""))
        })
    }
}

//! The faces that words are set in.

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

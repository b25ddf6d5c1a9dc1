//! Which face of a document.

use crate::font::FaceId;
use std::borrow::Cow;

/// A face of the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum FaceKey {
    Text(FaceId),
    Music,
}

impl FaceKey {
    /// A number that no other face has. Text faces are never so many that one had the last.
    pub(super) fn number(self) -> u8 {
        match self {
            Self::Text(FaceId(id)) => id,
            Self::Music => u8::MAX,
        }
    }

    /// The face of a number.
    pub(super) fn of_number(number: u8) -> Self {
        if number == u8::MAX { Self::Music } else { Self::Text(FaceId(number)) }
    }

    /// What pages call the face.
    pub(super) fn resource(self) -> Cow<'static, str> {
        match self {
            Self::Text(FaceId(0)) => "TextRegular".into(),
            Self::Text(FaceId(1)) => "TextSemibold".into(),
            Self::Text(FaceId(2)) => "TextItalic".into(),
            Self::Text(FaceId(3)) => "TextSemiboldItalic".into(),
            Self::Text(FaceId(4)) => "TextMono".into(),
            Self::Text(FaceId(other)) => format!("Text{other}").into(),
            Self::Music => "Music".into(),
        }
    }
}

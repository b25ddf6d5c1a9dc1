//! A hit as it grows.

use super::tree::{Hit, Strike, WrittenGrace};
use crate::score::{Accent, Touch};
use crate::source::Span;
use smallvec::SmallVec;

/// A hit of nothing yet.
pub fn struck(grace: WrittenGrace) -> Hit {
    Hit {
        strikes: SmallVec::new(),
        grace,
        strokes: 0,
        buzz: false,
        choked: false,
        touch: Touch::default(),
    }
}

/// Adds a letter to a hit.
pub fn strike(hit: &mut Hit, text: &str, span: Span, marcato: Option<Span>, ghost: bool) {
    let Some(letter) = text.chars().next() else { return };
    let accent = match marcato {
        Some(_) => Accent::Marcato,
        None if letter.is_ascii_uppercase() => Accent::Accent,
        None => Accent::None,
    };
    let span = marcato.map_or(span, |mark| mark.join(span));
    let letter = letter.to_ascii_lowercase();
    hit.strikes.push(Strike { letter, accent, ghost, span });
}

//! The signs over or under a chord.

use crate::drawing::Kind;
use crate::font::Glyph;
use crate::score::kit::{Opening, StemSign};
use crate::score::{Accent, Hit, PlayerPart};

/// A sign over or under a chord, from the note outwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChordSign {
    /// What it is.
    pub kind: Kind,
    /// Its glyph where the stems point up and so the sign is above.
    pub above: Glyph,
    /// Its glyph below.
    pub below: Glyph,
}

/// The signs of a hit, from the note outwards.
pub fn signs(part: &PlayerPart, hit: &Hit) -> Vec<ChordSign> {
    let mut signs = Vec::new();
    let mut add = |kind, above, below| signs.push(ChordSign { kind, above, below });
    if hit.touch.staccato {
        let (above, below) = (Glyph::ARTIC_STACCATO_ABOVE, Glyph::ARTIC_STACCATO_BELOW);
        add(Kind::Articulation, above, below);
    }
    if hit.touch.tenuto {
        add(Kind::Articulation, Glyph::ARTIC_TENUTO_ABOVE, Glyph::ARTIC_TENUTO_BELOW);
    }
    match hit.strikes.iter().map(|s| s.accent).max().unwrap_or_default() {
        Accent::None => {}
        Accent::Accent => add(Kind::Accent, Glyph::ARTIC_ACCENT_ABOVE, Glyph::ARTIC_ACCENT_BELOW),
        Accent::Marcato => {
            add(Kind::Accent, Glyph::ARTIC_MARCATO_ABOVE, Glyph::ARTIC_MARCATO_BELOW);
        }
    }
    if let Some(opening) = hit.strikes.iter().find_map(|s| part.kit.get(s.instrument)?.opening) {
        let glyph = opening_glyph(opening);
        add(Kind::Opening, glyph, glyph);
    }
    if hit.strikes.iter().any(|s| s.choked) {
        add(Kind::Choke, Glyph::PICT_CHOKE_CYMBAL, Glyph::PICT_CHOKE_CYMBAL);
    }
    signs
}

/// The sign that stands on the stem of a hit.
pub fn on_stem(part: &PlayerPart, hit: &Hit) -> Option<Glyph> {
    let sign = hit.strikes.iter().find_map(|s| part.kit.get(s.instrument)?.on_stem)?;
    Some(match sign {
        StemSign::RimShot => Glyph::PICT_RIM_SHOT_ON_STEM,
        StemSign::DeadStroke => Glyph::PICT_DEAD_NOTE_STEM,
        StemSign::Sweep => Glyph::PICT_SWISH_STEM,
    })
}

fn opening_glyph(opening: Opening) -> Glyph {
    match opening {
        Opening::Open => Glyph::BRASS_MUTE_OPEN,
        Opening::Half => Glyph::PICT_HALF_OPEN_1,
        Opening::Closed => Glyph::BRASS_MUTE_CLOSED,
    }
}

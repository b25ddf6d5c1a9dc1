//! Rows of one kind among those of a set.

use super::bars::RawRow;
use super::letters::LetterMeaning;
use super::rows::RowKind;
use crate::score::kit::Limb;
use crate::syntax::tree::{CellGroup, CountGroup, StickGroup};

impl<'a> RowKind<'a> {
    /// What the letters of a row of hits mean, and its bars.
    pub(super) fn hits(&self) -> Option<(LetterMeaning, &RawRow<'a, CellGroup>)> {
        match self {
            Self::Hits(meaning, raw) => Some((*meaning, raw)),
            Self::Count(_) | Self::Sticks(..) | Self::Words(..) => None,
        }
    }

    /// The bars of a `count` row.
    pub(super) fn counts(&self) -> Option<&RawRow<'a, CountGroup>> {
        match self {
            Self::Count(raw) => Some(raw),
            Self::Hits(..) | Self::Sticks(..) | Self::Words(..) => None,
        }
    }

    /// The bars of a `stick` row.
    pub(super) fn hand_letters(&self) -> Option<&RawRow<'a, StickGroup>> {
        match self {
            Self::Sticks(Limb::Hands, raw) => Some(raw),
            Self::Sticks(Limb::Feet, _) | Self::Hits(..) | Self::Count(_) | Self::Words(..) => None,
        }
    }
}

//! A block in lines of music, for columns where it fits them.

use super::grid;
use super::setter::Setter;
use crate::engrave::System;
use crate::score::Block;
use std::sync::Arc;

/// A block in lines of music.
#[derive(Clone, Debug)]
pub struct EngravedBlock {
    /// The lines.
    pub systems: Arc<[Arc<System>]>,
    /// In how many columns it would fit, at most those it asks for; 1 where it has the width of the
    /// text to itself.
    pub fits: usize,
    /// The columns it is engraved for.
    pub columns: usize,
}

impl EngravedBlock {
    /// A block in as many columns as it asks for, or in fewer where it does not fit.
    pub fn of(setter: &Setter<'_>, block: &Block) -> Self {
        let asked = block.settings.columns as usize;
        for columns in (2..=asked).rev() {
            let set = Self::in_columns(setter, block, columns);
            if set.is_as_asked() {
                return Self { fits: columns, ..set };
            }
        }
        Self::in_columns(setter, block, 1)
    }

    /// A block in so many columns.
    fn in_columns(setter: &Setter<'_>, block: &Block, columns: usize) -> Self {
        let width = match columns {
            1 => setter.sheet.text_width(),
            _ => grid::column_width(setter.sheet, columns),
        };
        let systems = setter.systems(block, columns, width);
        Self { systems: systems.into(), fits: columns, columns }
    }

    /// The same in so many columns as the blocks around it have, at most as many as it fits.
    pub fn among(&self, setter: &Setter<'_>, block: &Block, columns: usize) -> Self {
        match columns == self.columns {
            true => self.clone(),
            false => Self { fits: self.fits, ..Self::in_columns(setter, block, columns) },
        }
    }

    /// Whether no bar had to be made smaller, and no line got fewer bars than it should have.
    pub fn is_as_asked(&self) -> bool {
        self.systems.iter().all(|system| system.scale >= 1.0 && !system.cut)
    }
}

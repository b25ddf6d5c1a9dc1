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
    /// It has the width of the text to itself, as it asks or because it is too wide for a column.
    pub alone: bool,
}

impl EngravedBlock {
    /// A block in as many columns as it asks for, or in one where it does not fit.
    pub fn of(setter: &Setter<'_>, block: &Block) -> Self {
        let columns = block.settings.columns as usize;
        if columns > 1 {
            let systems = setter.systems(block, columns, grid::column_width(setter.sheet, columns));
            if fits(&systems) {
                return Self { systems: systems.into(), alone: false };
            }
        }
        let systems = setter.systems(block, 1, setter.sheet.text_width());
        Self { systems: systems.into(), alone: true }
    }

    /// Whether no bar had to be made smaller.
    pub fn fits(&self) -> bool {
        fits(&self.systems)
    }
}

fn fits(systems: &[Arc<System>]) -> bool {
    systems.iter().all(|system| system.scale >= 1.0)
}

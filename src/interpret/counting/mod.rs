//! Counting: rhythm to spoken syllables and back.

mod beat;
mod counter;
mod misspelt;
mod places;
mod read;
mod spell;
mod system;
mod table;

pub use beat::Beat;
pub use counter::{CompoundCount, Counter, OddCount};
pub(crate) use places::NoPlace;
pub(crate) use read::{CountPlace, Miss};
pub use read::{CountReading, Slot};
pub use system::{CountingSystem, CountingSystems};
pub(crate) use table::{read_table, table_name};

//! What holds where a block stands.

use super::counting::CountingSystems;
use super::setup::Setup;
use crate::score::Kit;
use std::sync::Arc;

/// What holds where a block stands.
#[derive(Clone, Debug)]
pub(crate) struct Surroundings {
    pub(crate) setup: Arc<Setup>,
    pub(crate) systems: Arc<CountingSystems>,
    pub(crate) kit: Arc<Kit>,
    /// Kits that have a name, by it in lower case, for blocks and players that ask for them.
    pub(crate) kits: Arc<Vec<(String, Arc<Kit>)>>,
}

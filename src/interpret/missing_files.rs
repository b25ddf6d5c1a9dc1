//! Files that could not be joined: what they may have defined is no fault of its own.

use super::codes::OF_A_MISSING_FILE;
use crate::source::Diagnostics;
use crate::syntax::codes::{INCLUDE_REFUSED, INCLUDE_UNAVAILABLE};

/// Takes out what may come of a file that could not be joined: a name that is known nowhere may stand in it.
pub fn drop_followers_of_missing_files(diagnostics: &mut Diagnostics) {
    if diagnostics.has(INCLUDE_REFUSED) || diagnostics.has(INCLUDE_UNAVAILABLE) {
        diagnostics.retain(|found| !found.elsewhere && !OF_A_MISSING_FILE.contains(&found.code));
    }
}

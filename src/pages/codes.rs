//! The kinds of faults that only show on a page.

use crate::source::codes;

codes! {
    /// Bars that do not fit and are set smaller.
    BARS_SMALLER = "bars-smaller",
}

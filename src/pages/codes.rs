//! The kinds of faults that only show on a page.

use crate::source::codes;

codes! {
    /// Bars that do not fit and are set smaller.
    BARS_SMALLER = "bars-smaller",
    /// A picture that can't be shown.
    PICTURE_REFUSED = "picture-refused",
    /// A picture named where none can be read.
    PICTURE_UNAVAILABLE = "picture-unavailable",
}

//! The kinds of faults that only show on a page.

use crate::source::codes;

codes! {
    /// Bars that do not fit and are set smaller.
    BARS_SMALLER = "bars-smaller",
    /// Lines of music that are taller than the page and are set smaller.
    LINES_SMALLER = "lines-smaller",
    /// Fewer bars on a line than were asked for.
    BARS_FEWER = "bars-fewer",
    /// Fewer columns than were asked for.
    COLUMNS_FEWER = "columns-fewer",
    /// A picture that can't be shown.
    PICTURE_REFUSED = "picture-refused",
    /// A picture named where none can be read.
    PICTURE_UNAVAILABLE = "picture-unavailable",
}

//! The drawing as JSON.

use crate::drawing::Drawing;

/// Every mark with its kind, position and source place.
pub fn write(_drawing: &Drawing) -> String {
    String::new()
}

//! Where the places of a text stand, for what leads to them.

use super::escape::escape;
use std::collections::BTreeMap;

/// The file each place stands in; a place without a file stands in the one that leads to it.
#[derive(Clone, Debug, Default)]
pub(in crate::write) struct Leads(pub(in crate::write) BTreeMap<String, String>);

impl Leads {
    /// The address of a place, which cannot leave its attribute.
    pub(in crate::write) fn to(&self, place: &str) -> String {
        let file = self.0.get(place).map_or("", String::as_str);
        format!("{}#{}", escape(file), escape(place))
    }
}

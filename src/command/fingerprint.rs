//! Numbers that tell bytes apart without keeping them.

use std::hash::{DefaultHasher, Hash, Hasher};

/// A number of some bytes, which is another where they are others.
pub fn fingerprint(bytes: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    bytes.hash(&mut hasher);
    hasher.finish()
}

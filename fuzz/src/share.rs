//! How many of the texts that are made by chance are in order: a mutator whose texts are all refused tries
//! no more than the reader.

use std::sync::atomic::{AtomicU64, Ordering};

static ALL: AtomicU64 = AtomicU64::new(0);
static GOOD: AtomicU64 = AtomicU64::new(0);

/// Counts one, and tells of all at each power of two.
pub fn count(good: bool) {
    let good = GOOD.fetch_add(u64::from(good), Ordering::Relaxed) + u64::from(good);
    let all = ALL.fetch_add(1, Ordering::Relaxed) + 1;
    if all.is_power_of_two() && all >= 1024 {
        eprintln!("in order: {} of 100, of {all}", 100 * good / all);
    }
}

//! Work on many things at once: on all processors with the feature `parallel`, one after the other
//! without it. What comes out is the same.

/// Into how many pieces work is cut at most: enough for processors that are not equally quick.
#[cfg(feature = "parallel")]
const PIECES: usize = 32;

/// What a function makes of each item, in the items' order.
#[cfg(feature = "parallel")]
pub(crate) fn map_in_order<T: Send, R: Send>(
    items: Vec<T>,
    function: impl Fn(T) -> R + Send + Sync,
) -> Vec<R> {
    use rayon::prelude::*;
    if items.len() < 2 {
        // Alone, it needs no thread to be woken.
        return items.into_iter().map(function).collect();
    }
    let piece = items.len().div_ceil(PIECES);
    items.into_par_iter().with_min_len(piece).map(function).collect()
}

/// What a function makes of each item, in the items' order.
#[cfg(not(feature = "parallel"))]
pub(crate) fn map_in_order<T, R>(items: Vec<T>, function: impl Fn(T) -> R) -> Vec<R> {
    items.into_iter().map(function).collect()
}

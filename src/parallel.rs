//! Work on many things at once: on all processors with the feature `parallel`, one after the other
//! without it. What comes out is the same.

/// What a function makes of each item, in the items' order.
#[cfg(feature = "parallel")]
pub(crate) fn map_in_order<T: Send, R: Send>(
    items: Vec<T>,
    function: impl Fn(T) -> R + Send + Sync,
) -> Vec<R> {
    use rayon::prelude::*;
    items.into_par_iter().map(function).collect()
}

/// What a function makes of each item, in the items' order.
#[cfg(not(feature = "parallel"))]
pub(crate) fn map_in_order<T, R>(items: Vec<T>, function: impl Fn(T) -> R) -> Vec<R> {
    items.into_iter().map(function).collect()
}

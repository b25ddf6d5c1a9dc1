//! What silences an instrument that rings.

use super::timeline::Stroke;
use crate::score::Kit;
use crate::score::kit::{Family, Opening};

/// Lets every open hi-hat ring until the next stroke on it, closed, open or by foot. The strokes are in the
/// order in which they sound.
pub(super) fn close_hats(strokes: &mut [Stroke], kit: &Kit) {
    let mut next: Option<f64> = None;
    let mut here: Option<f64> = None;
    for stroke in strokes.iter_mut().rev() {
        let Some(own) = kit.get(stroke.instrument).filter(|own| own.family == Family::HiHat) else {
            continue;
        };
        // What is struck at the same time does not end it.
        if here.is_some_and(|here| here > stroke.seconds) {
            next = here;
        }
        here = Some(stroke.seconds);
        if matches!(own.opening, Some(Opening::Open | Opening::Half)) {
            let choked = stroke.silenced;
            stroke.silenced = choked.into_iter().chain(next).min_by(f64::total_cmp);
        }
    }
}

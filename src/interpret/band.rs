//! `band` rows: what the band plays over a drummer's time.

use super::codes;
use super::players::stronger;
use crate::score::{PlayerPart, SmallNotes};
use crate::source::{Diagnostics, say};
use std::sync::Arc;

/// Sets small notes over the bars of a player; bars that do not go together are a fault. Barlines that one of
/// the rows has hold for both.
pub(super) fn set_over(
    part: &mut PlayerPart,
    band: &PlayerPart,
    player: &str,
    diagnostics: &mut Diagnostics,
) {
    let under = match player {
        "" => "the rows under it have".to_owned(),
        player => format!("the rows of {player} have"),
    };
    let unequal = part.bars.iter().zip(&band.bars).find(|(own, small)| own.length != small.length);
    let fault = match (unequal, band.bars.first()) {
        (None, Some(first)) if band.bars.len() != part.bars.len() && !part.bars.is_empty() => {
            let (has, have) = (band.bars.len(), part.bars.len());
            let message = format!(
                "`band` has {}, and {under} {}",
                say::several(has, "bar"),
                say::number(have)
            );
            Some((first.span, message))
        }
        (Some((own, small)), _) => {
            let (has, have) = (small.length, own.length);
            Some((small.span, format!("`band`: a bar lasts {has}, and the one under it {have}")))
        }
        (None, _) => None,
    };
    if let Some((span, message)) = fault {
        diagnostics
            .error(span, message)
            .code(codes::BAND_UNEQUAL)
            .mend("write as many bars as stand under it; where the band is silent, a bar is `.:4` or `|` alone");
        return;
    }
    for (bar, small) in part.bars.iter_mut().zip(&band.bars) {
        bar.closing = stronger(bar.closing, small.closing);
        bar.repeat_start |= small.repeat_start;
        bar.small = SmallNotes::of_band(band.kit.clone(), small).map(Arc::new);
    }
}

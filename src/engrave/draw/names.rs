//! The names of players and the bracket before their staves: how much room they take.

use crate::engrave::engraver::Engraver;
use crate::font::FaceStyle;
use crate::score::{Block, PlayerPart};
use kurbo::Rect;

/// How far a bracket reaches over the outer lines, and how long its hooks are (no source).
pub const BRACKET_OVER: f64 = 0.6;
pub const HOOK: f64 = 0.9;
/// From the staff to its bracket, and from there to a name (no source).
pub const BEFORE_STAFF: f64 = 0.5;
pub const BEFORE_BRACKET: f64 = 0.8;

/// What the upper hook of a bracket takes of the room over a staff whose barlines begin at `top`.
pub fn hook(top: f64) -> Rect {
    Rect::new(-BEFORE_STAFF, top - BRACKET_OVER, HOOK - BEFORE_STAFF, top)
}

/// The name of a player as the first line of a block has it, or as later ones do.
pub fn printed(part: &PlayerPart, first: bool) -> &str {
    match &part.player {
        Some(player) if first => &player.name,
        Some(player) => &player.short,
        None => "",
    }
}

/// The room before the staves of a line that begins a block or does not; none where one player has no
/// name.
pub fn room(engraver: &Engraver<'_>, block: &Block, first: bool) -> f64 {
    if block.others.is_empty() {
        return 0.0;
    }
    let points = engraver.points(engraver.style.words);
    let width = |part| engraver.words(printed(part, first), FaceStyle::Regular, points).1;
    let widest = block.parts().map(width).fold(0.0, f64::max);
    let bracket = engraver.fonts.music.defaults().bracket_thickness;
    widest + BEFORE_BRACKET + bracket + BEFORE_STAFF
}

//! Small notes over the staff: how small, and what they are written with.

use crate::score::settings::{PartSettings, Staff};
use crate::score::{PlayerPart, SmallNotes};

/// The size of small notes, as a factor on that of full ones (Gould, *Behind Bars*, "Cues", from memory: two
/// thirds to three quarters).
pub const SMALL: f64 = 0.7;

/// Who plays small notes: somebody without a staff, on one height.
pub fn part(notes: &SmallNotes) -> PlayerPart {
    let settings = PartSettings { staff: Staff::NoLine, ..PartSettings::default() };
    PlayerPart::alone(settings, notes.kit.clone(), Vec::new())
}

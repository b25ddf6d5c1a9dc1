//! The staff the engraver works on: its lines, its positions, and the two ways stems point.

use crate::score::settings::Staff;

/// Which way stems point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stems {
    /// Up: hands, and everything in one voice.
    Up,
    /// Down: feet.
    Down,
}

impl Stems {
    /// -1 for up, 1 for down: the direction of the stem in y.
    pub fn sign(self) -> f64 {
        match self {
            Self::Up => -1.0,
            Self::Down => 1.0,
        }
    }
}

/// The outer line of a staff, in steps from its middle.
pub fn outer_line(staff: Staff) -> i32 {
    match staff {
        Staff::FiveLines => 4,
        Staff::OneLine | Staff::NoLine => 0,
    }
}

/// y of the outer lines of a staff: the upper and the lower.
pub fn staff_edges(staff: Staff) -> (f64, f64) {
    let edge = f64::from(outer_line(staff)) / 2.0;
    (-edge, edge)
}

/// y of a staff position.
pub fn y_of(position: i32) -> f64 {
    -0.5 * f64::from(position)
}

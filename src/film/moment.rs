//! What is seen at a moment.

use super::scene::{BeatShown, Said};

/// What is seen of a scene at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment<'a> {
    /// The page of its strip.
    pub page: usize,
    /// How far the page is moved to the left.
    pub shift: f64,
    /// Where the cursor is on the page, if it is seen.
    pub cursor: Option<f64>,
    /// The notes of the page that are lit.
    pub lit: Vec<usize>,
    /// The syllable that is said.
    pub said: Option<&'a Said>,
    /// The beat.
    pub beat: Option<&'a BeatShown>,
}

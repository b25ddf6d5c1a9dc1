//! The kinds of faults that what is played can have.

use crate::source::codes;

codes! {
    /// One hand is to strike places that stand too far apart.
    HAND_APART = "hand-apart",
    /// One foot is to be on two pedals.
    FOOT_APART = "foot-apart",
    /// Both feet play the one pedal of the kick.
    KICK_SHARED = "kick-shared",
    /// A passage that is too fast.
    TOO_FAST = "too-fast",
}

//! What is to be heard: single strikes.

/// Frames in a second of all that this room makes.
pub const FRAMES_PER_SECOND: u32 = 48_000;

/// One sound to be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strike {
    /// The frame its onset falls on, from 0, of [`FRAMES_PER_SECOND`] a second.
    pub frame: u64,
    /// What sounds.
    pub voice: Voice,
    /// How hard it is struck, from 0, silent, to 1, the hardest; what lies outside is brought to these.
    pub loudness: f64,
    /// The frame at which it is damped: by a choke, or by a hi-hat that closes. It then dies away within
    /// some tens of milliseconds. Nothing where it rings out.
    pub until: Option<u64>,
    /// The hand, where it is known.
    pub hand: Side,
}

/// A hand. The strokes of two hands differ a little.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The right hand or foot.
    Right,
    /// The left one.
    Left,
    /// One of them, or none.
    Unknown,
}

/// What sounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Voice {
    /// A key of the General MIDI percussion map as General MIDI 2 extends it, from 27 to 87. What lies
    /// outside sounds like sticks, key 31. A click needs none.
    pub key: u8,
    /// How it is struck.
    pub technique: Technique,
}

/// How an instrument is struck.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Technique {
    /// As it is struck where nothing is said.
    Plain,
    /// A hi-hat whose cymbals just touch. Other instruments sound as they do plain.
    HalfOpen,
    /// Head and rim at once. What has no rim is struck with the shoulder of the stick.
    RimShot,
    /// The stick stays on the head and damps it.
    Dead,
    /// A brush is drawn over it.
    Sweep,
    /// The stick is pressed into the head and bounces: hands in turn, without a gap.
    Buzz {
        /// How long, in frames.
        frames: u64,
    },
    /// A click to play with; the key is not heeded.
    Click(ClickKind),
}

/// Which click.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ClickKind {
    /// On the first beat of a bar: the highest.
    Accent,
    /// On another beat.
    Beat,
    /// Between beats: the lowest and softest.
    Subdivision,
}

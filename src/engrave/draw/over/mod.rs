//! What stands over the staff. From the notes outwards: fermatas, words, endings, signs and
//! directions, and outermost section letters, tempo and feel. Words of a kind share one baseline in
//! a line of music (Gould, *Behind Bars*, "Tempo indications", from memory).

pub mod bar_numbers;
pub mod baseline;
pub mod ending_bars;
pub mod endings;
pub mod gradual;
pub mod heading;
pub mod inscription;
pub mod marks;
pub mod metronome;
pub mod phrases;
pub mod section;
pub mod sticking;
pub mod swing;

//! Standard MIDI Files of type 1 (MIDI Manufacturers Association, *Standard MIDI Files 1.0*, from memory):
//! what is played, for programs that make music sound.
//!
//! The first track has the tempo, the time signatures, a marker for each block and each section letter, and
//! the words that hold for all. Then each player has a track: General MIDI percussion on channel 10, keys
//! from the kit, and the player's words. Every printed block is played once, in order, with its repeats and
//! jumps; the answers of a worksheet say again what stands over them and are not. Blocks follow one another
//! without a gap. Where grace notes sound before the first beat of all, silent bars as long as the first
//! come before it.
//!
//! Onsets, barlines and changes of tempo are whole pulses, and a quarter has 960 of them or a multiple of
//! that which makes all of them whole. Where none does that fits the format (32,767 at most), it is the one
//! that makes the most of them whole, at least 17,280, and the others are off by half a pulse at most:
//! 1/34,560 of a quarter. Music longer than some 63,000 quarters has fewer pulses a quarter, so that readers
//! that count pulses in 31 bits can read it. Grace notes, whose time is one of seconds, and the strokes of a
//! buzz lie at the nearest pulse.
//!
//! A tempo is told in whole microseconds a quarter, and so is off by half a microsecond in each quarter at
//! most. Text is UTF-8.

mod conductor;
mod notes;
mod pulses;
mod signature;
mod song;
mod survey;
mod tempo_map;
mod track;

use super::error::WriteError;
use crate::score::{PlacedBlock, Score};
use song::Song;
use survey::Survey;

/// The bytes of a file that plays every block of a score once, in order.
///
/// # Errors
///
/// Fails where the music is longer, has more strokes or is slower or faster than a file can tell.
pub fn write(score: &Score) -> Result<Vec<u8>, WriteError> {
    let blocks: Vec<&PlacedBlock> = score.blocks_once().collect();
    let survey = Survey::of(&blocks)?;
    let mut song = Song::new(&score.header, &survey);
    for block in blocks {
        song.add(block)?;
    }
    song.bytes()
}

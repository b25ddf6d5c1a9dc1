//! Files of sound: the same bytes again, and whatever else is done at the same time.

use crate::heard::{SECOND, strike};
use flamacue::sound::{Kit, Mixer, Strike};
use flamacue::write::flac::Tags;
use flamacue::write::{flac, wav};
use std::io::Cursor;

fn strikes() -> Vec<Strike> {
    let keys = [36, 42, 38, 46, 51, 41];
    (0..12).map(|n| strike(n * 4_801, keys[n as usize % 6], 0.3 + n as f64 / 20.0)).collect()
}

/// A WAV and a FLAC file of the same strikes.
fn files(kit: &mut Kit) -> (Vec<u8>, Vec<u8>) {
    let (mut one, mut other) = (Cursor::new(Vec::new()), Cursor::new(Vec::new()));
    wav::write(&mut Mixer::new(kit, strikes(), SECOND), &mut one).unwrap();
    flac::write(&mut Mixer::new(kit, strikes(), SECOND), &Tags::default(), &mut other).unwrap();
    (one.into_inner(), other.into_inner())
}

#[test]
fn files_are_the_same_bytes_alone_and_side_by_side() {
    let mut kit = Kit::own();
    let alone = files(&mut kit);
    // What the kit keeps by now changes nothing, nor does another who uses a copy of it.
    let [one, other] = std::thread::scope(|scope| {
        [Kit::own(), kit.clone()]
            .map(|mut kit| scope.spawn(move || files(&mut kit)))
            .map(|thread| thread.join().unwrap())
    });
    assert!(one == alone && other == alone && files(&mut kit) == alone);
}

#[test]
fn both_forms_hold_the_same_samples() {
    let (wav, flac) = files(&mut Kit::own());
    let mut wav = hound::WavReader::new(Cursor::new(wav)).unwrap();
    let mut flac = claxon::FlacReader::new(Cursor::new(flac)).unwrap();
    let wav: Vec<i32> = wav.samples().map(Result::unwrap).collect();
    let flac: Vec<i32> = flac.samples().map(Result::unwrap).collect();
    assert_eq!(wav.len() as u64, 2 * SECOND);
    assert!(wav == flac);
}

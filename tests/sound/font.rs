//! SoundFonts, made here byte by byte (SoundFont Technical Specification 2.04): one drum, a tone that dies
//! away.

use crate::heard::{Heard, SECOND, strike, struck};
use flamacue::sound::{ClickKind, Kit, Technique};
use std::f64::consts::TAU;

/// Frames of the sample, whose rate is that of all sound here.
const FRAMES: u32 = 9_600;
/// Its pitch in hertz at its root key.
const PITCH: f64 = 600.0;
const ROOT: u8 = 38;
/// Numbers of generators.
const INSTRUMENT: u16 = 41;
const KEYS: u16 = 43;
const SAMPLE: u16 = 53;
const SCALE: u16 = 56;

fn chunk(name: &str, holds: &[u8]) -> Vec<u8> {
    let length = u32::try_from(holds.len()).unwrap().to_le_bytes();
    let mut bytes = [name.as_bytes(), &length, holds].concat();
    bytes.resize(bytes.len() + bytes.len() % 2, 0);
    bytes
}

fn list(kind: &str, chunks: &[Vec<u8>]) -> Vec<u8> {
    chunk("LIST", &[kind.as_bytes(), &chunks.concat()].concat())
}

/// Records of numbers of 16 bits, each after a name of 20 bytes where there is one.
fn numbers(name: Option<&str>, numbers: &[u16]) -> Vec<u8> {
    let mut bytes = name.unwrap_or_default().as_bytes().to_vec();
    bytes.resize(if name.is_some() { 20 } else { 0 }, 0);
    bytes.extend(numbers.iter().flat_map(|number| number.to_le_bytes()));
    bytes
}

fn samples() -> Vec<u8> {
    let sample = |frame: u32| {
        let seconds = f64::from(frame) / SECOND as f64;
        let falls = 1.0 - f64::from(frame) / f64::from(FRAMES);
        (16_000.0 * falls * (TAU * PITCH * seconds).sin()) as i16
    };
    (0..FRAMES).flat_map(|frame| sample(frame).to_le_bytes()).collect()
}

fn header() -> Vec<u8> {
    let mut bytes = numbers(Some("drum"), &[]);
    for number in [0, FRAMES, 0, 0, SECOND as u32] {
        bytes.extend(number.to_le_bytes());
    }
    // Its root, no correction, no other side, one channel.
    bytes.extend([ROOT, 0, 0, 0, 1, 0]);
    bytes
}

/// A font whose drums answer to keys 38 to 50.
fn font() -> Vec<u8> {
    let preset = [
        numbers(Some("drums"), &[0, 128, 0, 0, 0, 0, 0, 0, 0]),
        numbers(Some("EOP"), &[0, 0, 1, 0, 0, 0, 0, 0, 0]),
    ];
    let keys = u16::from_le_bytes([38, 50]);
    let tables = [
        chunk("phdr", &preset.concat()),
        chunk("pbag", &numbers(None, &[0, 0, 1, 0])),
        chunk("pgen", &numbers(None, &[INSTRUMENT, 0, 0, 0])),
        chunk("inst", &[numbers(Some("drum"), &[0]), numbers(Some("EOI"), &[1])].concat()),
        chunk("ibag", &numbers(None, &[0, 0, 3, 0])),
        chunk("igen", &numbers(None, &[KEYS, keys, SCALE, 100, SAMPLE, 0, 0, 0])),
        chunk("shdr", &[header(), vec![0; 46]].concat()),
    ];
    let lists = [list("sdta", &[chunk("smpl", &samples())]), list("pdta", &tables)];
    chunk("RIFF", &[&b"sfbk"[..], &lists.concat()].concat())
}

#[test]
fn drums_of_a_sound_font_sound_at_their_pitch() {
    let mut kit = Kit::sound_font(&font()).unwrap();
    let strikes = [strike(480, ROOT, 0.8), strike(SECOND + 480, ROOT + 12, 0.8)];
    let heard = Heard::from(&mut kit, &strikes, 2 * SECOND, 4_096);
    assert!((480..500).contains(&heard.onset(1e-3).unwrap()));
    let first = heard.centre(480..4_800);
    assert!((first - PITCH).abs() < 10.0, "{first}");
    // Twelve keys higher it is twice as high, and over in half the time.
    let second = heard.centre(SECOND + 480..SECOND + 4_000);
    assert!((second - 2.0 * PITCH).abs() < 20.0, "{second}");
    assert_eq!(heard.peak(480 + u64::from(FRAMES) + 10..SECOND), 0.0);
    assert_eq!(heard.peak(SECOND + 480 + u64::from(FRAMES) / 2 + 10..2 * SECOND), 0.0);
}

#[test]
fn what_a_sound_font_has_no_sound_for_is_silent_but_a_click_is_ours() {
    let mut kit = Kit::sound_font(&font()).unwrap();
    let heard = Heard::from(&mut kit, &[strike(0, 51, 1.0)], SECOND, 4_096);
    assert_eq!(heard.peak(0..SECOND), 0.0);
    let click = [struck(0, 0, Technique::Click(ClickKind::Beat), 0.8)];
    let heard = Heard::from(&mut kit, &click, SECOND, 4_096);
    assert!(heard == Heard::of(&click, SECOND));
}

/// No file, however it is broken, does more than be refused or sound as it may.
#[test]
fn broken_sound_fonts_do_no_harm() {
    let font = font();
    for length in (0..font.len()).step_by(97) {
        drop(Kit::sound_font(&font[..length]));
    }
    let tables = font.len() - 400..font.len();
    for at in tables {
        for value in [0, 1, 0x7F, 0x80, 0xFF] {
            let mut broken = font.clone();
            broken[at] = value;
            if let Ok(mut kit) = Kit::sound_font(&broken) {
                let heard = Heard::from(&mut kit, &[strike(0, ROOT, 0.8)], 480, 480);
                assert!(heard.left.iter().all(|sample| sample.abs() < 1.0), "byte {at}: {value}");
            }
        }
    }
    assert!(Kit::sound_font(b"RIFF").is_err() && Kit::sound_font(&[]).is_err());
}

//! From strikes to samples.

use super::kit::{Kit, variants};
use super::limiter::{AHEAD, Limiter};
use super::playing::Playing;
use super::press::Press;
use super::random::Random;
use super::strike::{Side, Strike, Technique, Voice};
use std::collections::BTreeMap;
use std::iter::Peekable;

/// Frames that are mixed at once, whatever is asked for: so the samples are the same.
const BLOCK: usize = 256;
/// The make-up gain: what brings a lesson to -16 LUFS.
const MAKE_UP: f64 = 6.8;
/// So many strokes may sound at once; of more, the first is damped within [`HURRIED`] seconds, and of twice
/// as many the last is left out.
const AT_ONCE: usize = 192;
const HURRIED: f64 = 0.03;
/// Press rolls at once.
const PRESSES: usize = 32;
/// The last frames fade to nothing: 10 ms, so that what still rings does not end with a click.
const FADE: u64 = 480;

/// Mixes strikes, given in the order of their frames, to two channels at
/// [`FRAMES_PER_SECOND`](super::FRAMES_PER_SECOND). What it holds in memory does not grow with the length: at
/// most 384 strokes that sound, and what the [`Kit`] keeps. The same strikes are the same samples, on every
/// machine and whatever the blocks are that are asked for.
#[derive(Debug)]
pub struct Mixer<'kit, I: Iterator<Item = Strike>> {
    kit: &'kit mut Kit,
    strikes: Peekable<I>,
    length: u64,
    /// The next frame that is mixed, and the next that is given.
    mixed: u64,
    given: u64,
    playing: Vec<Playing>,
    presses: Vec<(Press, Strike)>,
    /// How often each voice was struck, and the variant it had last.
    struck: BTreeMap<(u8, Side), (u64, u64)>,
    limiter: Limiter,
    /// What is ready to be given, from `ready_from` on.
    ready: Vec<(f32, f32)>,
    ready_from: usize,
}

impl<'kit, I: Iterator<Item = Strike>> Mixer<'kit, I> {
    /// A mixer of strikes in the order of their frames, for `length` frames in all. A strike that comes out
    /// of order sounds as soon as it is read; one at `length` or later does not sound.
    pub fn new<S: IntoIterator<IntoIter = I>>(kit: &'kit mut Kit, strikes: S, length: u64) -> Self {
        Self {
            kit,
            strikes: strikes.into_iter().peekable(),
            length,
            mixed: 0,
            given: 0,
            playing: Vec::new(),
            presses: Vec::new(),
            struck: BTreeMap::new(),
            limiter: Limiter::new(),
            ready: Vec::with_capacity(BLOCK),
            ready_from: 0,
        }
    }

    /// Frames that are still to come.
    #[must_use]
    pub fn left(&self) -> u64 {
        self.length.saturating_sub(self.given)
    }

    /// Fills the start of both sides, as far as the shorter reaches, with the next samples, each from -1 to
    /// 1, and says how many frames these are: zero at the end.
    pub fn next_block(&mut self, left: &mut [f32], right: &mut [f32]) -> usize {
        let mut filled = 0;
        for (left, right) in left.iter_mut().zip(right) {
            if self.given >= self.length {
                break;
            }
            if self.ready_from == self.ready.len() {
                self.mix();
            }
            let fade = fade(self.length - self.given);
            let (to_left, to_right) = self.ready.get(self.ready_from).copied().unwrap_or_default();
            (*left, *right) = (to_left * fade, to_right * fade);
            self.ready_from += 1;
            self.given += 1;
            filled += 1;
        }
        filled
    }

    /// Mixes blocks until some of it has come through the limiter.
    fn mix(&mut self) {
        self.ready.clear();
        self.ready_from = 0;
        while self.ready.is_empty() {
            let (mut left, mut right) = ([0.0; BLOCK], [0.0; BLOCK]);
            self.start();
            let block = self.mixed;
            self.playing.retain_mut(|playing| playing.add(block, &mut left, &mut right));
            for (frame, (left, right)) in (block..).zip(left.into_iter().zip(right)) {
                let out = self.limiter.run(left, right);
                if frame >= AHEAD as u64 {
                    self.ready.push(out);
                }
            }
            self.mixed += BLOCK as u64;
        }
    }

    /// Starts what falls in the block that is to be mixed.
    fn start(&mut self) {
        let end = self.mixed + BLOCK as u64;
        while let Some(strike) = self.strikes.next_if(|strike| strike.frame < end) {
            // Of what lies after the end, nothing is heard; nor of what is no number.
            let loudness = strike.loudness.clamp(0.0, 1.0);
            if strike.frame >= self.length || loudness.is_nan() || loudness == 0.0 {
                continue;
            }
            let strike = Strike { frame: strike.frame.max(self.mixed), loudness, ..strike };
            match strike.voice.technique {
                Technique::Buzz { frames } if self.presses.len() < PRESSES => {
                    let length = strike
                        .until
                        .map_or(frames, |until| frames.min(until.saturating_sub(strike.frame)));
                    self.presses.push((Press::new(strike.frame, length, loudness), strike));
                }
                Technique::Buzz { .. }
                | Technique::Plain
                | Technique::HalfOpen
                | Technique::RimShot
                | Technique::Dead
                | Technique::Sweep
                | Technique::Click(_) => self.play(strike),
            }
        }
        self.press(end);
    }

    /// Starts the strokes of press rolls whose press falls before a frame.
    fn press(&mut self, end: u64) {
        let mut presses = std::mem::take(&mut self.presses);
        presses.retain_mut(|(press, strike)| {
            while press.next < end {
                let Some(strokes) = press.strokes() else { return false };
                for (frame, loudness) in strokes {
                    self.play(Strike { frame, loudness, hand: Side::Unknown, ..*strike });
                }
            }
            true
        });
        self.presses = presses;
    }

    fn play(&mut self, strike: Strike) {
        if self.playing.len() >= 2 * AT_ONCE {
            return;
        }
        if let Some(first) = self.playing.len().checked_sub(AT_ONCE) {
            self.playing[first].damp(self.mixed, HURRIED);
        }
        let loudness = strike.loudness.min(1.0);
        let variant = self.variant(strike.voice, strike.hand);
        let sound = self.kit.sound(strike.voice, loudness, variant);
        let gain = (loudness * loudness * MAKE_UP) as f32;
        let damp = Kit::damp(strike.voice);
        self.playing.push(Playing::new(sound, strike.frame, gain, strike.until, damp));
    }

    /// Which variant a stroke has: by chance, but not the same twice.
    fn variant(&mut self, voice: Voice, hand: Side) -> u64 {
        let of_hand = variants(hand);
        let many = of_hand.end - of_hand.start;
        let (number, last) = self.struck.entry((voice.key, hand)).or_insert((0, many));
        let chance = Random::new((*number << 8) | u64::from(voice.key)).bits() >> 32;
        let mut variant = chance % many;
        if variant == *last {
            variant = (variant + 1) % many;
        }
        (*number, *last) = (*number + 1, variant);
        of_hand.start + variant
    }
}

/// The factor of a frame, by how many are left with it.
fn fade(left: u64) -> f32 {
    if left > FADE { 1.0 } else { (left - 1) as f32 / FADE as f32 }
}

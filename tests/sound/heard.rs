//! What is heard of strikes, and measures of it.

use flamacue::sound::{Kit, Mixer, Side, Strike, Technique, Voice};

pub const SECOND: u64 = 48_000;
/// -90 dB of full scale.
pub const SILENT: f32 = 3.2e-5;

/// A plain stroke of an unknown hand.
pub fn strike(frame: u64, key: u8, loudness: f64) -> Strike {
    struck(frame, key, Technique::Plain, loudness)
}

pub fn struck(frame: u64, key: u8, technique: Technique, loudness: f64) -> Strike {
    Strike { frame, voice: Voice { key, technique }, loudness, until: None, hand: Side::Unknown }
}

/// Both sides of what is heard.
#[derive(Debug, PartialEq)]
pub struct Heard {
    pub left: Vec<f32>,
    pub right: Vec<f32>,
}

impl Heard {
    pub fn of(strikes: &[Strike], length: u64) -> Self {
        Self::from(&mut Kit::own(), strikes, length, 4_096)
    }

    pub fn from(kit: &mut Kit, strikes: &[Strike], length: u64, block: usize) -> Self {
        let mut mixer = Mixer::new(kit, strikes.iter().copied(), length);
        let mut heard = Self { left: Vec::new(), right: Vec::new() };
        let (mut left, mut right) = (vec![0.0; block], vec![0.0; block]);
        loop {
            let frames = mixer.next_block(&mut left, &mut right);
            if frames == 0 {
                return heard;
            }
            heard.left.extend(&left[..frames]);
            heard.right.extend(&right[..frames]);
        }
    }

    pub fn frames(&self) -> u64 {
        self.left.len() as u64
    }

    /// The highest sample of some frames.
    pub fn peak(&self, frames: std::ops::Range<u64>) -> f32 {
        let frames = frames.start as usize..frames.end as usize;
        let both = self.left[frames.clone()].iter().chain(&self.right[frames]);
        both.fold(0.0, |most, sample| most.max(sample.abs()))
    }

    /// The root mean square of some frames.
    pub fn level(&self, frames: std::ops::Range<u64>) -> f64 {
        let mono = self.mono(frames);
        (mono.iter().map(|sample| sample * sample).sum::<f64>() / mono.len() as f64).sqrt()
    }

    /// The first frame that is louder than a value.
    pub fn onset(&self, over: f32) -> Option<u64> {
        (0..self.frames()).find(|frame| self.peak(*frame..frame + 1) > over)
    }

    /// Both sides as one.
    pub fn mono(&self, frames: std::ops::Range<u64>) -> Vec<f64> {
        let frames = frames.start as usize..frames.end as usize;
        let pairs = self.left[frames.clone()].iter().zip(&self.right[frames]);
        pairs.map(|(left, right)| f64::from(left + right) / 2.0).collect()
    }

    /// The mean frequency in hertz of some frames, each frequency weighed by its power: from how fast the
    /// samples change (a sine of angle a changes by 2 sin(a / 2) of its size).
    pub fn centre(&self, frames: std::ops::Range<u64>) -> f64 {
        let mono = self.mono(frames);
        let power: f64 = mono.iter().map(|sample| sample * sample).sum();
        let changes: f64 = mono.windows(2).map(|pair| (pair[1] - pair[0]).powi(2)).sum();
        ((changes / power).sqrt() / 2.0).asin() / std::f64::consts::PI * SECOND as f64
    }
}

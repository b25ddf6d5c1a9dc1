//! How many frames a second: exact, so that no hour drifts.

use std::fmt;

/// Fewest and most frames a second.
const LEAST: u32 = 1;
const MOST: u32 = 240;
/// The most either number of a rate may be: what an animated PNG has room for (APNG 1.0, `fcTL`).
const MOST_NUMBER: u32 = 65_535;
/// Rates that are called by a decimal and are 1000/1001 of a whole number (SMPTE ST 12-1, from memory).
const CALLED: [(&str, u32); 5] =
    [("23.976", 24), ("23.98", 24), ("29.97", 30), ("59.94", 60), ("119.88", 120)];

/// So many frames in so many seconds, in lowest terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rate {
    frames: u32,
    seconds: u32,
}

impl Default for Rate {
    fn default() -> Self {
        Self { frames: 30, seconds: 1 }
    }
}

impl fmt::Display for Rate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.seconds {
            1 => write!(f, "{}", self.frames),
            seconds => write!(f, "{}/{seconds}", self.frames),
        }
    }
}

impl Rate {
    /// So many frames in so many seconds, 1 to 240 a second; neither number above 65,535 in lowest terms.
    #[must_use]
    pub fn new(frames: u32, seconds: u32) -> Option<Self> {
        let divisor = num_integer::gcd(frames, seconds).max(1);
        let (frames, seconds) = (frames / divisor, seconds / divisor);
        let fits = seconds > 0
            && frames.max(seconds) <= MOST_NUMBER
            && u64::from(frames) >= u64::from(seconds) * u64::from(LEAST)
            && u64::from(frames) <= u64::from(seconds) * u64::from(MOST);
        fits.then_some(Self { frames, seconds })
    }

    /// Reads `30`, `12.5`, `29.97`, which is 30000/1001, or `24000/1001`.
    #[must_use]
    pub fn read(words: &str) -> Option<Self> {
        if let Some((_, near)) = CALLED.iter().find(|(name, _)| *name == words) {
            return Self::new(near * 1000, 1001);
        }
        let number = |digits: &str| {
            let plain = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
            plain.then(|| digits.parse::<u32>().ok()).flatten()
        };
        if let Some((frames, seconds)) = words.split_once('/') {
            return Self::new(number(frames)?, number(seconds)?);
        }
        match words.split_once('.') {
            None => Self::new(number(words)?, 1),
            Some((whole, part)) if part.len() <= 3 => {
                let under = 10u32.pow(u32::try_from(part.len()).ok()?);
                Self::new(number(whole)?.checked_mul(under)?.checked_add(number(part)?)?, under)
            }
            Some(_) => None,
        }
    }

    /// Frames, and the seconds they take.
    #[must_use]
    pub fn ratio(self) -> (u32, u32) {
        (self.frames, self.seconds)
    }

    /// How many frames so many seconds take, the last one with them; at least one.
    #[must_use]
    pub fn frames_in(self, seconds: f64) -> u64 {
        let frames = seconds * f64::from(self.frames) / f64::from(self.seconds);
        // What a sum of seconds lacks or has too much in its last figures makes no frame.
        ((frames - 1e-6).ceil().max(1.0)) as u64
    }

    /// The second at which a frame begins, by its number from 0: the nearest there is to the exact fraction.
    #[must_use]
    pub fn start(self, frame: u64) -> f64 {
        self.at(u128::from(frame) * 2)
    }

    /// The second in the middle of a frame's time: what it shows is never off by more than half a frame.
    #[must_use]
    pub fn middle(self, frame: u64) -> f64 {
        self.at(u128::from(frame) * 2 + 1)
    }

    /// The second of so many half frames.
    fn at(self, halves: u128) -> f64 {
        let over = halves * u128::from(self.seconds);
        let under = 2 * u128::from(self.frames);
        // Whole seconds apart, so that what is left over keeps all its figures.
        (over / under) as f64 + (over % under) as f64 / under as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_are_fractions() {
        let told = |words: &str| Rate::read(words).map(|rate| rate.to_string());
        for (words, rate) in [
            ("30", "30"),
            ("29.97", "30000/1001"),
            ("23.976", "24000/1001"),
            ("59.94", "60000/1001"),
            ("12.5", "25/2"),
            ("30000/1001", "30000/1001"),
            ("48/2", "24"),
        ] {
            assert_eq!(told(words).as_deref(), Some(rate), "{words}");
        }
        for words in ["", "0", "241", "1/0", "-30", "30.", "1e2", "29.9701", "0.5", "65537/2000"] {
            assert_eq!(told(words), None, "{words}");
        }
    }

    /// After an hour and after ten, a frame begins where the fraction says, to the last figure of a double.
    #[test]
    fn nothing_drifts() {
        let rate = Rate::new(30_000, 1001).unwrap();
        for hours in [1u64, 10] {
            // 1001 s are 30,000 frames.
            let rounds = hours * 3600 / 1001 + 1;
            assert_eq!(rate.start(rounds * 30_000), rounds as f64 * 1001.0);
            assert_eq!(rate.frames_in(rounds as f64 * 1001.0), rounds * 30_000);
        }
        let film = Rate::new(24_000, 1001).unwrap();
        assert_eq!(film.start(24_000 * 4), 4004.0);
        assert_eq!(Rate::new(60, 1).unwrap().middle(0), 1.0 / 120.0);
    }
}

//! What may be chosen of a film.

use super::rate::Rate;
use crate::score::Colour;

/// The shortest and the longest side of a frame, in pixels.
const SIDES: std::ops::RangeInclusive<u32> = 64..=8192;
/// The most pixels of a frame: 4096 by 2304.
const MOST_PIXELS: u64 = 4096 * 2304;

/// The size of a frame in pixels: each side 64 to 8192, and at most 9,437,184 in all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FilmSize {
    width: u32,
    height: u32,
}

impl Default for FilmSize {
    /// A strip along the bottom of a frame of 1920 by 1080.
    fn default() -> Self {
        Self { width: 1920, height: 300 }
    }
}

impl FilmSize {
    /// A size, where it is neither too small nor too large.
    #[must_use]
    pub fn new(width: u32, height: u32) -> Option<Self> {
        let fits = SIDES.contains(&width)
            && SIDES.contains(&height)
            && u64::from(width) * u64::from(height) <= MOST_PIXELS;
        fits.then_some(Self { width, height })
    }

    /// Reads `1920x300`.
    #[must_use]
    pub fn read(words: &str) -> Option<Self> {
        let (width, height) = words.split_once(['x', 'X', '×'])?;
        Self::new(width.trim().parse().ok()?, height.trim().parse().ok()?)
    }

    /// Its width.
    #[must_use]
    pub fn width(self) -> u32 {
        self.width
    }

    /// Its height.
    #[must_use]
    pub fn height(self) -> u32 {
        self.height
    }
}

/// What shows where the music is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Follow {
    /// A line through the staff.
    pub line: bool,
    /// A wedge under the staff.
    pub wedge: bool,
    /// Notes change their ink while they sound.
    pub notes: bool,
}

impl Default for Follow {
    fn default() -> Self {
        Self { line: true, wedge: false, notes: true }
    }
}

impl Follow {
    /// Reads `line`, `wedge` and `notes`, with commas between them, or `none`.
    #[must_use]
    pub fn read(words: &str) -> Option<Self> {
        let mut follow = Self { line: false, wedge: false, notes: false };
        if words.trim() == "none" {
            return Some(follow);
        }
        for word in words.split(',') {
            match word.trim() {
                "line" => follow.line = true,
                "wedge" => follow.wedge = true,
                "notes" => follow.notes = true,
                _ => return None,
            }
        }
        Some(follow)
    }
}

/// How a block goes by that is longer than a frame is wide.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Turn {
    /// Page by page, each of whole bars.
    #[default]
    Pages,
    /// Steadily, from right to left.
    Scroll,
}

/// The colours of a film.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FilmColours {
    /// Of the notation.
    pub ink: Colour,
    /// Behind it; nothing where it is laid over a video.
    pub paper: Option<Colour>,
    /// Of what is played now.
    pub lit: Colour,
    /// Around all ink, so that it stands out from whatever it is laid over.
    pub edge: Option<Colour>,
}

/// What is lit over dark ink and over light ink (no source).
const LIT_ON_LIGHT: Colour = Colour { red: 214, green: 40, blue: 0 };
const LIT_ON_DARK: Colour = Colour { red: 255, green: 176, blue: 0 };

impl FilmColours {
    /// An ink on a paper, or on none; what is lit and what stands around the ink go with them.
    #[must_use]
    pub fn of(ink: Colour, paper: Option<Colour>) -> Self {
        let dark = is_dark(ink);
        let lit = if dark { LIT_ON_LIGHT } else { LIT_ON_DARK };
        let edge = if dark { Colour::WHITE } else { Colour::BLACK };
        Self { ink, paper, lit, edge: paper.is_none().then_some(edge) }
    }
}

/// Whether a colour is nearer to black than to white, as the eye sees it (ITU-R BT.601, the weights of luma).
fn is_dark(colour: Colour) -> bool {
    let [red, green, blue] = colour.parts().map(u32::from);
    red * 299 + green * 587 + blue * 114 < 128 * 1000
}

/// What is asked of a film.
#[derive(Clone, Debug, PartialEq)]
pub struct FilmOptions {
    /// The size of its frames.
    pub size: FilmSize,
    /// How many a second.
    pub rate: Rate,
    /// Its colours.
    pub colours: FilmColours,
    /// What shows where the music is.
    pub follow: Follow,
    /// How a long block goes by.
    pub turn: Turn,
    /// Bars without their notes: only what is counted.
    pub hides_notes: bool,
    /// It starts again after its end, where a file can say so.
    pub repeats: bool,
}

impl Default for FilmOptions {
    fn default() -> Self {
        Self {
            size: FilmSize::default(),
            rate: Rate::default(),
            colours: FilmColours::of(Colour::BLACK, Some(Colour::WHITE)),
            follow: Follow::default(),
            turn: Turn::default(),
            hides_notes: false,
            repeats: false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_have_bounds() {
        assert_eq!(FilmSize::read("1920x300"), Some(FilmSize::default()));
        assert!(FilmSize::read("3840x2160").is_some());
        for words in ["", "1920", "1920x", "0x300", "9000x64", "8192x8192", "-1x300", "63x64"] {
            assert_eq!(FilmSize::read(words), None, "{words}");
        }
    }

    #[test]
    fn what_follows_the_music_is_a_list() {
        assert_eq!(Follow::read("line,notes"), Some(Follow::default()));
        let none = Follow { line: false, wedge: false, notes: false };
        assert_eq!(Follow::read("none"), Some(none));
        assert_eq!(Follow::read("line, none"), None);
        assert_eq!(Follow::read(""), None);
    }
}

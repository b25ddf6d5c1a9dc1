//! Where what stands on a frame.

use super::wanted::{FilmSize, Follow};
use kurbo::Rect;

/// Shares of a frame's shorter side, of its width and of its height (no source; looked at).
const MARGIN: f64 = 0.04;
/// From which proportion on what is counted stands beside the music, and not over it.
const BESIDE: f64 = 2.4;
/// The width of what is counted beside the music, as a share of the frame's width, and at most of its height.
const PANEL_WIDTH: (f64, f64) = (0.15, 1.0);
/// The height of what is counted over the music, as a share of the frame's height, and at most of its width.
const PANEL_HEIGHT: (f64, f64) = (0.28, 0.3);
/// How much of what is counted is for the dots of the beats.
const DOTS: f64 = 0.22;
/// The height of the wedge under the music, as a share of the height of the music's room, and at most of the
/// frame's width.
const WEDGE: (f64, f64) = (0.1, 0.02);

/// The parts of a frame, in pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilmLayout {
    /// All of it.
    pub frame: Rect,
    /// The music.
    pub strip: Rect,
    /// The syllable that is said.
    pub word: Rect,
    /// The beats.
    pub dots: Rect,
    /// The wedge under the music; without height where there is none.
    pub wedge: Rect,
}

impl FilmLayout {
    /// The parts of a frame of a size, with room for what follows the music.
    #[must_use]
    pub fn of(size: FilmSize, follow: Follow) -> Self {
        let (width, height) = (f64::from(size.width()), f64::from(size.height()));
        let frame = Rect::new(0.0, 0.0, width, height);
        let margin = (width.min(height) * MARGIN).round();
        let inner = frame.inset(-margin);
        let (panel, strip) = if width > height * BESIDE {
            let end = inner.x0 + (width * PANEL_WIDTH.0).min(height * PANEL_WIDTH.1).round();
            let panel = Rect { x1: end, ..inner };
            (panel, Rect { x0: end + margin, ..inner })
        } else {
            let end = inner.y0 + (height * PANEL_HEIGHT.0).min(width * PANEL_HEIGHT.1).round();
            let panel = Rect { y1: end, ..inner };
            (panel, Rect { y0: end + margin, ..inner })
        };
        let middle = (panel.y1 - panel.height() * DOTS).round();
        let word = Rect { y1: middle, ..panel };
        let wedge = if follow.wedge {
            (strip.height() * WEDGE.0).min(width * WEDGE.1).round()
        } else {
            0.0
        };
        let (strip, wedge) =
            (Rect { y1: strip.y1 - wedge, ..strip }, Rect { y0: strip.y1 - wedge, ..strip });
        Self { frame, strip, word, dots: Rect { y0: middle, ..panel }, wedge }
    }
}

//! How hard a block is, beside its number and title.

use super::setter::Setter;
use super::title::TitleParts;
use crate::drawing::{Kind, Mark, Shape, star};
use crate::font::FaceStyle;
use crate::score::{Level, PlacedBlock};
use kurbo::Point;

/// The radius of a star, in ems of the title (no source).
const RADIUS: f64 = 0.34;
/// From the centre of a star to the next, in ems (no source).
const STEP: f64 = 0.72;
/// The centre of a star over the baseline, in ems: the middle of small letters and capitals (no source).
const LIFT: f64 = 0.3;
/// The size of words, in ems of the title (no source).
const WORDS: f64 = 0.85;

/// A level on a baseline at y zero, from x zero to the right.
pub struct LevelMarks {
    /// Its marks.
    pub marks: Vec<Mark>,
    /// How wide it is, in points.
    pub width: f64,
}

impl Setter<'_> {
    /// The level of a block beside its number, in a title of a size in points.
    pub fn level(&self, block: &PlacedBlock, parts: TitleParts, size: f64) -> Option<LevelMarks> {
        match parts {
            TitleParts::Title => None,
            TitleParts::All | TitleParts::Number => {
                block.settings.level.as_ref().map(|level| self.level_marks(level, size))
            }
        }
    }

    /// As many filled stars, and hollow ones up to five; or words.
    fn level_marks(&self, level: &Level, size: f64) -> LevelMarks {
        match level {
            Level::Stars(stars) => {
                let one = |nth: u8| {
                    let x = RADIUS + f64::from(nth) * STEP;
                    let path =
                        star(Point::new(x * size, -LIFT * size), RADIUS * size, nth >= *stars);
                    Mark::new(Kind::Level, Shape::Path(path))
                };
                let width = f64::from(Level::MOST_STARS - 1) * STEP + 2.0 * RADIUS;
                let marks = (0..Level::MOST_STARS).map(one).collect();
                LevelMarks { marks, width: width * size }
            }
            Level::Words(words) => {
                let run = self.fonts.text.shape(words, FaceStyle::Italic);
                let size = WORDS * size;
                let width = run.width * size;
                let shape = Shape::Text { run, at: Point::ZERO, size };
                LevelMarks { marks: vec![Mark::new(Kind::Level, shape)], width }
            }
        }
    }
}

//! A film: a plan, the pages of the blocks it plays, and how long it is.

use super::error::FilmError;
use super::layout::FilmLayout;
use super::strip::{SmallCounts, Strip};
use super::wanted::{FilmOptions, Turn};
use crate::engrave::{Engraver, Style};
use crate::font::Fonts;
use crate::practice::{PassTimes, Plan};
use crate::score::settings::Look;
use crate::score::{Colour, PlacedBlock, PrintedWords, Score};
use std::collections::HashMap;
use std::sync::Arc;

/// Size of counts and of sticking letters in staff spaces: they are read from far off (no source; looked at).
const COUNT: f64 = 2.7;
const STICKING: f64 = 2.1;
/// Points of a staff space, by which the sizes of words are bounded.
const SPACE_PT: f64 = 8.0;

/// How opaque grey ink is, as on pages.
pub const GREY: f64 = 0.55;
/// How far around ink its edge reaches, as a share of the height of a frame, and the least, in pixels (no
/// source; looked at over black, white and many colours).
const EDGE: (f64, f64) = (1.0 / 75.0, 1.5);

/// What a film is set with.
#[derive(Clone, Copy, Debug)]
pub struct FilmSet<'a> {
    /// The faces.
    pub fonts: &'a Fonts,
    /// The blocks.
    pub score: &'a Score,
}

/// A film.
#[derive(Clone, Debug)]
pub struct Film {
    plan: Plan,
    times: Vec<PassTimes>,
    options: FilmOptions,
    /// By the index of a block among the items.
    strips: HashMap<usize, Arc<Strip>>,
    /// The top and the bottom of all music.
    music: (f64, f64),
    /// What is to be told of it.
    warnings: Vec<String>,
}

impl Film {
    /// A film of a plan.
    ///
    /// # Errors
    ///
    /// There is nothing to show.
    pub fn of(set: FilmSet<'_>, plan: Plan, options: FilmOptions) -> Result<Self, FilmError> {
        if plan.passes.is_empty() {
            return Err(FilmError::Nothing);
        }
        let style = style(options.turn)?;
        let printed = PrintedWords::of(set.score.header.language.as_deref());
        let engraver = Engraver { fonts: set.fonts, style: &style, space_pt: SPACE_PT, printed };
        let mut strips = HashMap::new();
        let mut warnings = Vec::new();
        for pass in &plan.passes {
            let Some(block) = block_of(set.score, pass.heard_item) else { continue };
            if let std::collections::hash_map::Entry::Vacant(free) = strips.entry(pass.heard_item) {
                let strip = Strip::of(&engraver, block, &options);
                warnings.extend(smaller(block, &strip));
                free.insert(Arc::new(strip));
            }
        }
        let times = plan.times();
        let pages =
            strips.values().flat_map(|strip| strip.pages.iter().map(|page| page.line.music));
        let music = pages.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).unwrap_or_default();
        Ok(Self { plan, times, options, strips, music, warnings })
    }

    /// What is to be told of it.
    #[must_use]
    pub fn warnings(&self) -> &[String] {
        &self.warnings
    }

    /// What was asked of it.
    #[must_use]
    pub fn options(&self) -> &FilmOptions {
        &self.options
    }

    /// The colour around all ink, and how far around it reaches in pixels, where it has one.
    #[must_use]
    pub fn edge(&self) -> Option<(Colour, f64)> {
        let reach = (f64::from(self.options.size.height()) * EDGE.0).max(EDGE.1);
        self.options.colours.edge.map(|edge| (edge, reach))
    }

    /// The top and the bottom of its music, which stands at one height on all pages of a block.
    #[must_use]
    pub fn music(&self) -> (f64, f64) {
        self.music
    }

    /// Where what stands on its frames.
    #[must_use]
    pub fn layout(&self) -> FilmLayout {
        FilmLayout::of(self.options.size, self.options.follow)
    }

    /// How long it is, in seconds: as long as what is heard.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.plan.seconds()
    }

    /// How many frames it has; at least one.
    #[must_use]
    pub fn frames(&self) -> u64 {
        self.options.rate.frames_in(self.seconds())
    }

    /// The second of the film of a second of the plan.
    pub(super) fn second(&self, plan: f64) -> f64 {
        self.plan.bend.second(plan)
    }

    pub(super) fn plan(&self) -> &Plan {
        &self.plan
    }

    pub(super) fn times(&self) -> &[PassTimes] {
        &self.times
    }

    pub(super) fn strip(&self, item: usize) -> Option<&Arc<Strip>> {
        self.strips.get(&item)
    }
}

/// The look of a screen, in lines of whole bars or in one line.
pub(super) fn style(turn: Turn) -> Result<Style, FilmError> {
    let screen = Style::built_in(Look::Screen).map_err(|why| FilmError::Style(why.to_string()))?;
    let one_line = match turn {
        Turn::Pages => false,
        Turn::Scroll => true,
    };
    Ok(Style { one_line, count: COUNT, sticking: STICKING, ..screen })
}

fn block_of(score: &Score, item: usize) -> Option<&PlacedBlock> {
    score.items.get(item)?.block()
}

/// What is told of bars that are too wide for a page, and of syllables that are too small.
fn smaller(block: &PlacedBlock, strip: &Strip) -> Vec<String> {
    let name = block.title.as_ref().or(block.name.as_ref());
    let of = name.map_or_else(String::new, |name| format!(" of \"{name}\""));
    let told = |(bar, scale): &(usize, f64)| {
        format!(
            "bar {}{of} is wider than a frame and is drawn at {:.0} % of its size; take a wider frame, or write it as two bars",
            bar + 1,
            scale * 100.0
        )
    };
    let small = strip.small_counts.map(|SmallCounts { size, least, left_out }| {
        let so = format!("{size:.0} pixels high, and {least:.0} can be read on a phone");
        if left_out {
            format!("the syllables under the notes{of} would be {so}: they are left away, and the large one says them; a higher frame has room for them")
        } else {
            format!("the syllables under the notes{of} are {so}; take a higher frame")
        }
    });
    strip.smaller.iter().map(told).chain(small).collect()
}

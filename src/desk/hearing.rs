//! What is heard of a block.

use super::answer::{Heard, HeardMotion, HeardStroke};
use super::answers::Desk;
use super::ask::Hear;
use crate::drawing::Node;
use crate::film::Line;
use crate::font::Fonts;
use crate::pages::known_as;
use crate::perform::Timeline;
use crate::practice::{Pass, PassTimes, Plan, Sound};
use crate::score::practice::{Click, ClickOn, Heard as Way};
use crate::score::{Item, PlacedBlock};
use crate::sound::Kit;
use crate::write::cues::place_in_bar;
use crate::write::motion::{MotionDump, runs};
use crate::write::strikes::mixer;
use crate::write::wav;
use std::fmt;
use std::io::Cursor;
use std::ops::{Range, RangeInclusive};

/// How much faster or slower than written a block may be heard.
const FACTORS: RangeInclusive<f64> = 0.1..=4.0;
/// How often it may be heard at once.
const TIMES: RangeInclusive<u32> = 1..=8;
/// Most seconds that are made at once: so much of a file of sound takes 170 MB.
const MOST_SECONDS: f64 = 600.0;

/// Why nothing is heard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HearError {
    /// The place is in no block with music.
    NoMusic,
    /// It takes too long.
    TooLong,
    /// The sound could not be written.
    NotWritten,
}

impl fmt::Display for HearError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoMusic => "Put the cursor in a block of music to hear it.",
            Self::TooLong => {
                "That is longer than ten minutes; build the text as a sound file instead."
            }
            Self::NotWritten => "The sound could not be made.",
        })
    }
}

impl std::error::Error for HearError {}

/// Where a line of music stands: its page, and which of the blocks of that page it is of, both from 0.
type OnPage = (usize, usize);

/// The blocks that are made of one place of the text, each with its index among the items, and which are heard.
struct Chosen<'a> {
    all: Vec<(usize, &'a PlacedBlock)>,
    heard: Range<usize>,
}

impl<'a> Chosen<'a> {
    fn blocks(&self) -> &[(usize, &'a PlacedBlock)] {
        self.all.get(self.heard.clone()).unwrap_or_default()
    }

    /// What a reader knows each exercise by that is heard; nothing where it is of no series.
    fn exercises(&self) -> Vec<String> {
        match self.all.len() {
            0 | 1 => Vec::new(),
            _ => self.blocks().iter().map(|(_, placed)| known_as(placed)).collect(),
        }
    }
}

impl Desk<'_> {
    /// The block that holds a place, or all exercises of a series, as a WAV file and what is heard in it when.
    ///
    /// # Errors
    /// Where no block with music is there, or it takes longer than ten minutes.
    pub fn hear(&self, wanted: &Hear, kit: &mut Kit) -> Result<(Heard, Vec<u8>), HearError> {
        let chosen = self.chosen(wanted);
        let plan = Plan { passes: passes(chosen.blocks(), wanted), ..Plan::default() };
        let seconds = plan.seconds();
        if seconds > MOST_SECONDS {
            return Err(HearError::TooLong);
        }
        let heard = self.heard(&plan, &chosen).ok_or(HearError::NoMusic)?;
        let mut bytes = Cursor::new(Vec::new());
        wav::write(&mut mixer(&plan, kit), &mut bytes).map_err(|_| HearError::NotWritten)?;
        Ok((heard, bytes.into_inner()))
    }

    /// What is heard at a place: the block that holds it; of a series, all exercises or the one that is asked for.
    fn chosen(&self, wanted: &Hear) -> Chosen<'_> {
        let Some(block) = self.view.block_at(self.byte(wanted.at)) else {
            return Chosen { all: Vec::new(), heard: 0..0 };
        };
        let items = self.view.score.items_once().enumerate();
        let placed = items.filter_map(|(index, item)| match item {
            Item::Block(placed) => Some((index, placed)),
            Item::Heading { .. } | Item::Prose(_) => None,
        });
        let all: Vec<_> = placed
            .filter(|(_, placed)| placed.at == block.at && !placed.part.bars.is_empty())
            .collect();
        let is_wanted = |(_, placed): &(usize, &PlacedBlock)| {
            wanted.exercise.as_ref() == Some(&known_as(placed))
        };
        let heard = match all.iter().position(is_wanted) {
            Some(one) => one..one + 1,
            None => 0..all.len(),
        };
        Chosen { all, heard }
    }

    fn heard(&self, plan: &Plan, chosen: &Chosen<'_>) -> Option<Heard> {
        let source = self.view.source;
        let blocks = chosen.blocks();
        let (_, first) = blocks.first()?;
        let block = self.view.block_at(first.at);
        let end = block.map_or(first.at, |block| block.whole().moved(block.at).end());
        let whole = Timeline::of(&first.block).tempo.first().map_or(2.0, |step| step.whole);
        let strokes = plan.events().filter_map(|event| match event.sound {
            Sound::Stroke { origin, .. } => {
                let exercise = origin.pass % blocks.len();
                let (_, placed) = blocks.get(exercise)?;
                let part = placed.block.parts().nth(origin.player)?;
                let beat = place_in_bar(part, origin)?;
                let bar = origin.note.bar + 1;
                Some(HeardStroke { seconds: event.seconds, exercise, bar, beat })
            }
            Sound::Click(_) => None,
        });
        let times = plan.times();
        let begin = times.first()?;
        let once = match times.get(blocks.len()) {
            Some(again) => again.music - begin.music,
            None if blocks.len() == 1 => begin.once,
            None => times.last()?.end - begin.music,
        };
        Some(Heard {
            name: known_as(first),
            exercises: chosen.exercises(),
            music: begin.music,
            once,
            tempo: 240.0 / whole,
            file: source.file_at(first.at).0,
            from: source.location(first.at).line,
            to: source.location(end).line,
            strokes: strokes.collect(),
            moving: self.moving((plan, &times), chosen),
        })
    }

    /// What moves on the pages while a plan is played once, of each block that is heard in it.
    fn moving(
        &self,
        (plan, times): (&Plan, &[PassTimes]),
        chosen: &Chosen<'_>,
    ) -> Vec<HeardMotion> {
        let Some(begin) = times.first() else { return Vec::new() };
        let at = chosen.blocks().first().map_or(0, |(_, first)| first.at);
        let drawn = runs(self.lines(at)).into_iter().skip(chosen.heard.start);
        let passes = plan.passes.iter().zip(times).zip(chosen.blocks()).zip(drawn);
        let mut moving = Vec::new();
        for (((pass, times), (_, placed)), lines) in passes {
            let mut blocks: Vec<OnPage> = lines.iter().map(|(place, _)| *place).collect();
            blocks.dedup();
            let lines = lines.into_iter().map(|((page, _), line)| (page, line)).collect();
            moving.push(HeardMotion {
                name: known_as(placed),
                from: times.music - begin.music,
                blocks,
                motion: MotionDump::of(pass, vec![lines], 1.0),
            });
        }
        moving
    }

    /// The lines of all that is made of what starts at a byte, in order, as far as it goes on from page to page.
    fn lines(&self, at: usize) -> Vec<(OnPage, Line)> {
        let mut lines = Vec::new();
        for page in self.page_of(at).unwrap_or(usize::MAX)..self.session.pages() {
            let own = self
                .session
                .page(page)
                .map(|page| block_lines(&page.flat(), at, self.session.fonts()));
            let Some(own) = own.filter(|own| !own.is_empty()) else { break };
            lines.extend(own.into_iter().map(|(block, line)| ((page, block), line)));
        }
        lines
    }
}

/// The lines of the blocks that start at a byte, among the nodes of a page, each with the number of its block on that
/// page from 0.
fn block_lines(nodes: &[Node], at: usize, fonts: &Fonts) -> Vec<(usize, Line)> {
    let blocks = nodes.iter().filter_map(|node| match node {
        Node::Group(group) => group.kind.block_at().map(|own| (own, &group.children)),
        Node::Mark(_) | Node::Inset(_) => None,
    });
    let own = blocks.enumerate().filter(|(_, (own, _))| *own == at);
    own.flat_map(|(number, (_, children))| {
        Line::all(children, fonts).into_iter().map(move |line| (number, line))
    })
    .collect()
}

/// The passes of a block, which is played without a pause, or of the exercises of a series, one after another with
/// a pause between, counted in once.
fn passes(blocks: &[(usize, &PlacedBlock)], wanted: &Hear) -> Vec<Pass> {
    let times = wanted.times.clamp(*TIMES.start(), *TIMES.end());
    if let [(item, placed)] = blocks {
        return vec![Pass { times, ..pass(*item, placed, wanted) }];
    }
    let round = |nth: u32| {
        blocks.iter().enumerate().map(move |(own, (item, placed))| {
            let pass = pass(*item, placed, wanted);
            Pass { count_in: if nth == 0 && own == 0 { pass.count_in } else { 0 }, ..pass }
        })
    };
    (0..times).flat_map(round).collect()
}

/// A block, played once.
fn pass(item: usize, placed: &PlacedBlock, wanted: &Hear) -> Pass {
    let factor = if wanted.factor.is_nan() { 1.0 } else { wanted.factor };
    Pass {
        item,
        heard_item: item,
        block: placed.block.clone(),
        heard: Way::Alone,
        factor: factor.clamp(*FACTORS.start(), *FACTORS.end()),
        times: 1,
        click: if wanted.click { click(placed) } else { Click::default() },
        count_in: u32::from(wanted.count),
        looseness: 0.0,
        without: Vec::new(),
    }
}

/// What clicks under a block: what the text says, or each beat.
fn click(placed: &PlacedBlock) -> Click {
    let own = &placed.settings.practice.click;
    match own.on {
        ClickOn::Never => Click { on: ClickOn::Beats, silent: own.silent },
        ClickOn::Bars | ClickOn::Beats | ClickOn::Some(_) | ClickOn::Parts(_) => own.clone(),
    }
}

//! What is heard in which order.

use super::bend::Bend;
use super::error::PlanError;
use super::speed::{factors, written};
use crate::score::practice::{Click, Heard, PracticeSpeed, PracticeStep, Silent};
use crate::score::{Block, PlacedBlock, Score, name_key};
use std::collections::HashSet;
use std::sync::Arc;

/// Most passes of one plan.
const MOST_PASSES: usize = 10_000;

/// What is asked for in place of what the text says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wanted {
    /// The block by its name; all where nothing is said.
    pub block: Option<String>,
    /// The steps.
    pub steps: Option<Arc<[PracticeStep]>>,
    /// What clicks.
    pub click: Option<Click>,
    /// Bars of a count-in.
    pub count_in: Option<u32>,
    /// Beats a minute of what is played as written.
    pub tempo: Option<f64>,
    /// Who is silent in all of it.
    pub without: Vec<Silent>,
    /// How far strokes stray, in seconds.
    pub looseness: Option<f64>,
}

/// A block, played without a pause.
#[derive(Clone, Debug)]
pub struct Pass {
    /// The block that is practised, by its index among the items of the score.
    pub item: usize,
    /// What is heard, by its index among them: the same, or a context.
    pub heard_item: usize,
    /// What is heard.
    pub block: Arc<Block>,
    /// Whether its music is heard, or silence with clicks.
    pub heard: Heard,
    /// How many times as fast as it is written.
    pub factor: f64,
    /// How often, one after another.
    pub times: u32,
    /// What clicks.
    pub click: Click,
    /// Full bars of clicks before it.
    pub count_in: u32,
    /// How far strokes stray, in seconds.
    pub looseness: f64,
    /// Who is silent.
    pub without: Vec<Silent>,
}

/// What is heard in which order.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// Block after block, with a pause between.
    pub passes: Vec<Pass>,
    /// Where its seconds fall in a recording that it goes along with.
    pub bend: Bend,
}

impl Pass {
    /// Beats a minute at the start of what is heard, counted as it is written.
    #[must_use]
    pub fn tempo(&self) -> f64 {
        written(&self.block) * self.factor
    }
}

impl Plan {
    /// How the blocks of a score are practised, in their order. Blocks without a bar are left out.
    ///
    /// # Errors
    ///
    /// What is asked for is not there, or it takes longer than half a day.
    pub fn of(score: &Score, wanted: &Wanted) -> Result<Self, PlanError> {
        if let Some(name) = &wanted.block {
            let named = |own: &String| name_key(own) == name_key(name);
            if !blocks(score).any(|(_, block)| block.name.as_ref().is_some_and(named)) {
                return Err(PlanError::NoSuchBlock(name.clone()));
            }
        }
        let mut passes = Vec::new();
        for (item, block) in blocks(score) {
            let named = |name: &String| {
                block.name.as_ref().is_some_and(|own| name_key(own) == name_key(name))
            };
            if wanted.block.as_ref().is_none_or(named) && !block.part.bars.is_empty() {
                let steps = wanted.steps.as_ref().unwrap_or(&block.settings.practice.steps);
                passes.extend(passes_of(score, (item, block), steps, wanted));
            }
            if passes.len() > MOST_PASSES {
                return Err(PlanError::TooManyPasses);
            }
        }
        match stranger(&passes) {
            Some(name) => Err(PlanError::NoSuchPlayer(name)),
            None => Self { passes, bend: Bend::default() }.of_fit_length(),
        }
    }
}

impl Plan {
    /// The same along a recording.
    ///
    /// # Errors
    ///
    /// It takes longer than half a day there.
    pub fn along(self, bend: Bend) -> Result<Self, PlanError> {
        Self { bend, ..self }.of_fit_length()
    }

    /// The same with its first beat, after what is counted in, at a second of a recording.
    ///
    /// # Errors
    ///
    /// It takes longer than half a day there.
    pub fn from_second(self, second: f64) -> Result<Self, PlanError> {
        let first = self.times().first().map_or(0.0, |times| times.music);
        self.along(Bend::later_by(second - first))
    }

    /// A plan for each block that is practised, by its index among the items of the score.
    #[must_use]
    pub fn by_block(self) -> Vec<(usize, Self)> {
        let mut plans: Vec<(usize, Self)> = Vec::new();
        for pass in self.passes {
            match plans.last_mut().filter(|(item, _)| *item == pass.item) {
                Some((_, plan)) => plan.passes.push(pass),
                None => {
                    let bend = self.bend.clone();
                    plans.push((pass.item, Self { passes: vec![pass], bend }));
                }
            }
        }
        plans
    }
}

/// A name that is to be silent and that none of the players has.
fn stranger(passes: &[Pass]) -> Option<String> {
    let players: HashSet<String> = passes
        .iter()
        .flat_map(|pass| pass.block.parts().filter_map(|part| part.player.as_ref()))
        .map(|player| player.name.to_lowercase())
        .collect();
    passes.iter().flat_map(|pass| &pass.without).find_map(|silent| match silent {
        Silent::Player(name) => (!players.contains(&name.to_lowercase())).then(|| name.clone()),
        Silent::Hands | Silent::Feet => None,
    })
}

/// The blocks of a score but for the answers, each with its index.
pub(super) fn blocks(score: &Score) -> impl Iterator<Item = (usize, &PlacedBlock)> {
    score.items_once().enumerate().filter_map(|(index, item)| Some((index, item.block()?)))
}

/// How a block is practised in some steps, whatever steps it asks for itself.
pub(super) fn passes_of(
    score: &Score,
    (item, block): (usize, &PlacedBlock),
    steps: &[PracticeStep],
    wanted: &Wanted,
) -> Vec<Pass> {
    let practice = &block.settings.practice;
    let mut passes = Vec::new();
    for step in steps {
        let (heard_item, heard) = match step.heard {
            Heard::Alone | Heard::Silence => (item, block),
            Heard::InContext => context_of(score, block).unwrap_or((item, block)),
        };
        let speed = match (step.speed, wanted.tempo) {
            (PracticeSpeed::Written, Some(tempo)) => PracticeSpeed::At(tempo),
            (speed, _) => speed,
        };
        let without = step.without.iter().chain(&wanted.without).cloned().collect::<Vec<_>>();
        passes.extend(factors(heard, speed).into_iter().map(|factor| Pass {
            item,
            heard_item,
            block: heard.block.clone(),
            heard: step.heard,
            factor,
            times: step.times.max(1),
            click: wanted.click.clone().unwrap_or_else(|| practice.click.clone()),
            count_in: wanted.count_in.unwrap_or(practice.count_in),
            looseness: wanted.looseness.unwrap_or(practice.looseness),
            without: without.clone(),
        }));
    }
    passes
}

/// The first context that plays a block; the block itself where it is one.
fn context_of<'a>(score: &'a Score, block: &PlacedBlock) -> Option<(usize, &'a PlacedBlock)> {
    let name = name_key(block.name.as_ref()?);
    let plays = |context: &PlacedBlock| context.plays.iter().any(|played| name_key(played) == name);
    blocks(score).find(|(_, other)| plays(other))
}

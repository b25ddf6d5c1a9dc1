//! A lesson by ear: each block for itself, all of them in a row, and a quiz in another order.

use super::error::PlanError;
use super::loose::mixed;
use super::plan::{Pass, Plan, Wanted, blocks, passes_of};
use super::play::MOST_SECONDS;
use crate::score::practice::{Click, ClickOn, Heard, Practice, PracticeSpeed, PracticeStep};
use crate::score::{PlacedBlock, Score};

/// How often a block is heard alone before it is tried, and how often a question of the quiz is heard. Common
/// practice, no source.
const TIMES: u32 = 2;

/// How a block is learned where its text does not say how it is practised: alone, as long a silence to try it
/// by ear, in its context, slow, up to tempo. Common practice, no source.
static STEPS: [PracticeStep; 5] = [
    step(Heard::Alone, PracticeSpeed::Written, TIMES),
    step(Heard::Silence, PracticeSpeed::Written, 1),
    step(Heard::InContext, PracticeSpeed::Written, 1),
    step(Heard::Alone, PracticeSpeed::Slow, 1),
    step(Heard::Alone, PracticeSpeed::Goal, 1),
];

const ONCE: PracticeStep = step(Heard::Alone, PracticeSpeed::Written, 1);

const fn step(heard: Heard, speed: PracticeSpeed, times: u32) -> PracticeStep {
    PracticeStep { heard, speed, without: Vec::new(), times }
}

/// A lesson.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// Each block for itself, in the order of the text.
    pub tracks: Vec<Track>,
    /// Each block once, counted in and with a click, for who plays along with a page.
    pub played: Plan,
    /// Each block once, in a row; nothing where there is only one block.
    pub recap: Option<Plan>,
    /// The quiz; nothing where there is only one block.
    pub quiz: Option<Quiz>,
}

/// What is heard of one block.
#[derive(Clone, Debug)]
pub struct Track {
    /// The block, by its index among the items of the score.
    pub item: usize,
    /// How it is practised.
    pub plan: Plan,
}

/// Blocks in another order, whose names are to be told by ear.
#[derive(Clone, Debug)]
pub struct Quiz {
    /// Each block twice, and as long a silence as it takes once, to write down which it was.
    pub plan: Plan,
    /// What is asked, in order.
    pub questions: Vec<QuizQuestion>,
}

/// A block that is to be told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct QuizQuestion {
    /// The answer, by its index among the lesson's tracks.
    pub track: usize,
    /// The second it is heard at: that of its count-in.
    pub seconds: f64,
}

impl Lesson {
    /// The lesson of a score. What is asked for holds in all of it; its steps are those of each block for
    /// itself. A block whose text says how it is practised keeps to that; a context that nobody wrote is left
    /// out. The order of the quiz follows from a seed, and is another than that of the text.
    ///
    /// # Errors
    ///
    /// What is asked for is not there, or all of it takes longer than half a day.
    pub fn of(score: &Score, wanted: &Wanted, seed: u64) -> Result<Self, PlanError> {
        let once = Wanted { steps: Some([ONCE].into()), ..wanted.clone() };
        let row = Plan::of(score, &once)?;
        let practised =
            |(item, _): &(usize, &PlacedBlock)| row.passes.iter().any(|pass| pass.item == *item);
        let found: Vec<_> = blocks(score).filter(practised).collect();
        let track = |own: &(usize, &PlacedBlock)| Track {
            item: own.0,
            plan: Plan { passes: of_block(score, *own, wanted), ..Plan::default() },
        };
        let tracks: Vec<Track> = found.iter().map(track).collect();
        let several = found.len() > 1;
        let quiz = several.then(|| Quiz::of(score, &found, wanted, seed));
        let played = Plan { passes: row.passes.iter().map(along).collect(), ..Plan::default() };
        let recap = several.then_some(row);
        Self { tracks, played, recap, quiz }.of_fit_length()
    }

    fn of_fit_length(self) -> Result<Self, PlanError> {
        let own = self.tracks.iter().map(|track| &track.plan);
        let plans = own.chain(&self.recap).chain(self.quiz.iter().map(|quiz| &quiz.plan));
        let seconds: f64 = plans.map(Plan::seconds).sum();
        match seconds <= MOST_SECONDS {
            true => Ok(self),
            false => Err(PlanError::TooLong { hours: seconds / 3600.0 }),
        }
    }
}

/// The same pass with clicks: its own, or else on each beat.
fn along(pass: &Pass) -> Pass {
    let click = match pass.click.on {
        ClickOn::Never => Click { on: ClickOn::Beats, ..pass.click.clone() },
        ClickOn::Bars | ClickOn::Beats | ClickOn::Some(_) | ClickOn::Parts(_) => pass.click.clone(),
    };
    Pass { click, count_in: pass.count_in.max(1), ..pass.clone() }
}

/// The passes of a block for itself.
fn of_block(score: &Score, block: (usize, &PlacedBlock), wanted: &Wanted) -> Vec<Pass> {
    let own = &block.1.settings.practice.steps;
    let steps: &[PracticeStep] = match &wanted.steps {
        Some(steps) => steps,
        None if *own != Practice::default().steps => own,
        None => &STEPS,
    };
    let mut passes = passes_of(score, block, steps, wanted);
    passes.retain(|pass| pass.heard != Heard::InContext || pass.heard_item != pass.item);
    passes
}

impl Quiz {
    fn of(score: &Score, found: &[(usize, &PlacedBlock)], wanted: &Wanted, seed: u64) -> Self {
        let steps = [
            PracticeStep { times: TIMES, ..ONCE },
            step(Heard::Silence, PracticeSpeed::Written, 1),
        ];
        let order = shuffled(found.len(), seed);
        let mut passes = Vec::new();
        let mut starts = Vec::new();
        for block in order.iter().filter_map(|track| found.get(*track)) {
            starts.push(passes.len());
            let asked = passes_of(score, *block, &steps, wanted).into_iter();
            passes.extend(asked.map(|pass| match pass.heard {
                // Nobody plays in it, so nothing is counted in.
                Heard::Silence => Pass { count_in: 0, ..pass },
                Heard::Alone | Heard::InContext => pass,
            }));
        }
        let plan = Plan { passes, ..Plan::default() };
        let times = plan.times();
        let start = |at: usize| times.get(at).map_or(0.0, |times| times.start);
        let question = |(track, at): (usize, usize)| QuizQuestion { track, seconds: start(at) };
        let questions = order.into_iter().zip(starts).map(question).collect();
        Self { plan, questions }
    }
}

/// The numbers below a count in an order that follows from a seed and is not their own.
fn shuffled(count: usize, seed: u64) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    let mut state = mixed(seed);
    // Fisher and Yates, from memory.
    for last in (1..count).rev() {
        state = mixed(state);
        order.swap(last, (state % (last as u64 + 1)) as usize);
    }
    if order.is_sorted() {
        order.rotate_left(1.min(count));
    }
    order
}

#[cfg(test)]
mod tests {
    use super::shuffled;

    #[test]
    fn an_order_is_another_one_and_the_same_for_its_seed() {
        for seed in 0..200 {
            for count in 2..6 {
                let order = shuffled(count, seed);
                assert!(!order.is_sorted(), "{seed}: {order:?}");
                assert_eq!(order, shuffled(count, seed));
                let mut all = order;
                all.sort_unstable();
                assert_eq!(all, (0..count).collect::<Vec<_>>());
            }
        }
        assert_ne!(shuffled(8, 1), shuffled(8, 2));
        assert_eq!(shuffled(1, 7), [0]);
        assert!(shuffled(0, 7).is_empty());
    }
}

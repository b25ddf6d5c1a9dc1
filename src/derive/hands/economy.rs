//! Economy of motion: of all stickings of a phrase, one that moves the hands least round the kit.
//!
//! The best way to a note depends on what was before only through the hand that struck last and the
//! places of the two hands, so the best of all is found note by note (Bellman, *Dynamic
//! Programming*, 1957, from memory).

use crate::derive::phrase::Phrase;
use crate::score::kit::Spot;
use crate::score::{Hand, Kit, Time};
use std::collections::BTreeMap;

/// What a stroke costs beside its way, in centimetres of way. Common practice, no source.
///
/// The hands cross, the right one to the left of the left one by more than a stick may lean over.
const CROSSED: u64 = 60;
const LEAN: i32 = 15;
/// The hand that has just struck strikes again within a sixteenth, an eighth, a quarter, or later.
const AGAIN: [(Time, u64); 3] = [(Time::SIXTEENTH, 50), (Time::EIGHTH, 25), (Time::QUARTER, 8)];
const AGAIN_LATE: u64 = 3;
/// The other hand than the one that leads begins.
const BEGUN: u64 = 1;

/// One stroke to be given to a hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct PendingStroke {
    at: Time,
    /// What is struck, the drum that stands furthest left first; one place, or two for both hands.
    left: Spot,
    right: Spot,
    both: bool,
    /// Grace notes bring the other hand to the drum too.
    joined: bool,
}

/// Where the hands are after a stroke.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    right: Option<Spot>,
    left: Option<Spot>,
    last: Option<Hand>,
}

/// The strokes of a phrase.
pub(crate) fn steps(phrase: &Phrase, kit: &Kit) -> Vec<PendingStroke> {
    phrase
        .hands()
        .map(|note| {
            let spots = || note.strikes.iter().map(|b| kit.spot(b.instrument));
            PendingStroke {
                at: note.at,
                left: spots().min().unwrap_or_default(),
                right: spots().max().unwrap_or_default(),
                both: note.strikes.len() > 1,
                joined: !note.grace.is_none(),
            }
        })
        .collect()
}

/// A stroke by a hand: what it costs and where the hands are then. `gap` is the time since the
/// stroke before.
fn stroke(
    state: State,
    step: &PendingStroke,
    hand: Hand,
    gap: Option<Time>,
    first: Hand,
) -> (State, u64) {
    let way = |from: Option<Spot>, to: Spot| from.map_or(0, |from| from.distance(to));
    let mut next = State { last: Some(hand), ..state };
    match hand {
        Hand::Both => (next.right, next.left) = (Some(step.right), Some(step.left)),
        Hand::Right => next.right = Some(step.right),
        Hand::Left => next.left = Some(step.left),
    }
    if step.joined && hand != Hand::Both {
        (next.right, next.left) = (Some(step.right), Some(step.left));
    }
    let mut cost = next.right.map_or(0, |to| way(state.right, to))
        + next.left.map_or(0, |to| way(state.left, to));
    if let (Some(right), Some(left)) = (next.right, next.left)
        && right.right + LEAN < left.right
    {
        cost += CROSSED;
    }
    if hand != Hand::Both && state.last == Some(hand) {
        let gap = gap.unwrap_or(Time::WHOLE);
        cost += AGAIN.iter().find(|(t, _)| gap <= *t).map_or(AGAIN_LATE, |(_, cost)| *cost);
    }
    if state.last.is_none() && hand == first.other() {
        cost += BEGUN;
    }
    (next, cost)
}

const START: State = State { right: None, left: None, last: None };

/// What a sticking costs, in centimetres of way.
pub(crate) fn cost(steps: &[PendingStroke], hands: &[Hand], first: Hand) -> u64 {
    let mut state = START;
    let mut sum = 0;
    let mut before = None;
    for (step, hand) in steps.iter().zip(hands) {
        let (next, cost) = stroke(state, step, *hand, before.map(|b| step.at - b), first);
        state = next;
        sum += cost;
        before = Some(step.at);
    }
    sum
}

/// One way to a state: its cost, and the state of the step before it by number.
#[derive(Clone, Copy)]
struct Arrival {
    cost: u64,
    from: u32,
    hand: Hand,
}

/// A sticking of least cost, always the same one for the same strokes.
pub(crate) fn hands(steps: &[PendingStroke], first: Hand) -> Vec<Hand> {
    let mut ways: Vec<Vec<(u32, Hand)>> = Vec::with_capacity(steps.len());
    let mut states: Vec<(State, u64)> = vec![(START, 0)];
    let mut before = None;
    for step in steps {
        let gap = before.map(|b| step.at - b);
        before = Some(step.at);
        let choices = choices(step, first);
        let mut found: BTreeMap<State, Arrival> = BTreeMap::new();
        for (from, (state, so_far)) in (0_u32..).zip(&states) {
            for hand in &choices {
                let (next, more) = stroke(*state, step, *hand, gap, first);
                let way = Arrival { cost: so_far + more, from, hand: *hand };
                let best = found.entry(next).or_insert(way);
                if way.cost < best.cost {
                    *best = way;
                }
            }
        }
        ways.push(found.values().map(|way| (way.from, way.hand)).collect());
        states = found.into_iter().map(|(state, way)| (state, way.cost)).collect();
    }
    // From the cheapest end back to the start.
    let cheapest = states.iter().enumerate().min_by_key(|(_, (_, cost))| *cost);
    let mut at = cheapest.map_or(0, |(index, _)| index);
    let mut hands = Vec::with_capacity(steps.len());
    for step in ways.iter().rev() {
        let Some((from, hand)) = step.get(at) else { break };
        hands.push(*hand);
        at = *from as usize;
    }
    hands.reverse();
    hands
}

/// The hands that may take a stroke, the one that leads first.
pub(crate) fn choices(step: &PendingStroke, first: Hand) -> Vec<Hand> {
    if step.both { vec![Hand::Both] } else { vec![first, first.other()] }
}

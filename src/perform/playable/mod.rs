//! Whether a drummer can play it: strokes of each limb at the tempo, and hands and feet that would
//! have to be in two places at once. What is found is a warning, for hands differ.

mod clock;
mod passage;

use crate::score::Hand;
use crate::score::Kit;
use crate::score::kit::{InstrumentId, Limb};
use crate::score::{Bar, Block, Hit, Item, Score, Span};
use crate::source::{Diagnostics, Source, say};
use clock::Clock;
use passage::{Stroke, fastest};

/// How much faster than it keeps up a limb can strike twice, letting the stick or the beater
/// rebound. Common practice, no source.
const HAND_REBOUND: f64 = 3.0;
const FOOT_REBOUND: f64 = 2.0;
/// Centimetres between two drums that one stick might still strike at once. Common practice, no
/// source.
const REACH: u64 = 40;

/// Something that can't be played.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    pub(crate) span: Span,
    pub(crate) message: String,
    pub(crate) mend: String,
}

/// The strokes of a block, limb by limb.
#[derive(Default)]
struct Limbs {
    right: Vec<Stroke>,
    left: Vec<Stroke>,
    /// All strokes of the hands, whichever plays them.
    hands: Vec<Stroke>,
    /// Strokes on the kick and the hi-hat's pedal where nothing says which foot plays them.
    kick: Vec<Stroke>,
    right_foot: Vec<Stroke>,
    left_foot: Vec<Stroke>,
}

/// Whether a drummer can play a block.
pub fn can_play(block: &Block) -> bool {
    found(block).is_empty()
}

/// Warns of what can't be played in a score.
pub fn check(source: &Source, score: &Score, diagnostics: &mut Diagnostics) {
    for item in &score.items {
        let Item::Block(block) = item else { continue };
        for Found { span, message, mend } in found(block) {
            // Marks stand under one line. What is made has no cells of its own to mark.
            let line = source.line_at(span.start);
            let span = Span::new(span.start, span.end.min(line.end.max(span.start)));
            let head = source.slice(block.span);
            let what = match head.split('"').next() {
                Some(head) if span == block.span => format!("{}, ", head.trim()),
                _ => String::new(),
            };
            diagnostics.warning(span, format!("{what}{message}")).mend(mend);
        }
    }
}

/// What can't be played in a block: one finding for each passage of a limb.
fn found(block: &Block) -> Vec<Found> {
    let mut found = Vec::new();
    places(block, &mut found);
    let limits = block.settings.limits;
    let Some(limbs) = limbs(block) else { return found };
    let many = block.bars.len() > 1;
    let own = |strokes: &[Stroke]| fastest(strokes, limits.hand, 1, HAND_REBOUND);
    let shared = || fastest(&limbs.hands, limits.hand, 2, f64::INFINITY);
    let passages = match (own(&limbs.right), own(&limbs.left)) {
        (Some(right), Some(left)) if right.meets(&left) => {
            vec![("each hand", right.faster(left))]
        }
        (None, None) => shared().map(|p| ("each hand, even at its best,", p)).into_iter().collect(),
        (right, left) => {
            let right = right.map(|p| ("the right hand", p));
            right.into_iter().chain(left.map(|p| ("the left hand", p))).collect()
        }
    };
    let mend = "slow it down, leave notes out or share them out to both hands, or say what a hand can do, as `fastest-hand: 10`";
    found.extend(
        passages.into_iter().map(|(name, p)| p.told(name, limits.hand, "fastest-hand", many, mend)),
    );
    let mend = "slow it down, leave notes out, or say what the foot can do, as `fastest-foot: 9`";
    let feet = if limits.double_pedal { 2 } else { 1 };
    let kick = if feet == 2 { "each foot, even at its best," } else { "the foot on the kick" };
    for (strokes, name, count) in [
        (&limbs.kick, kick, feet),
        (&limbs.right_foot, "the right foot", 1),
        (&limbs.left_foot, "the left foot", 1),
    ] {
        let rebound = if count == 1 { FOOT_REBOUND } else { f64::INFINITY };
        let passage = fastest(strokes, limits.foot, count, rebound);
        found.extend(passage.map(|p| p.told(name, limits.foot, "fastest-foot", many, mend)));
    }
    found
}

/// Hands and feet before they are told apart: how many of each a hit takes.
struct Taken<'a> {
    hit: &'a Hit,
    hands: Vec<InstrumentId>,
    feet: Vec<InstrumentId>,
}

/// The struck hits of a bar.
fn taken<'a>(bar: &'a Bar, apart: bool, kit: &'a Kit) -> impl Iterator<Item = Taken<'a>> {
    let voices = [(&bar.upper, Limb::Hands), (&bar.lower, Limb::Feet)];
    voices.into_iter().flat_map(move |(voice, own)| {
        voice.hits.iter().filter(|h| !h.continued).map(move |hit| {
            let of = |limb: Limb| {
                let limb_of = |id| if apart { own } else { kit.limb(id) };
                let ids = hit.strikes.iter().map(|s| s.instrument);
                ids.filter(|id| limb_of(*id) == limb).collect::<Vec<_>>()
            };
            Taken { hit, hands: of(Limb::Hands), feet: of(Limb::Feet) }
        })
    })
}

/// Whether the voices of a bar say which limb plays; in a bar of one voice the kit says it.
fn set_apart(bar: &Bar) -> bool {
    !bar.lower.hits.is_empty()
}

/// The strokes of all limbs in seconds; nothing where no tempo is known.
fn limbs(block: &Block) -> Option<Limbs> {
    let mut clock = Clock::new(block)?;
    let mut limbs = Limbs::default();
    for (number, bar) in block.bars.iter().enumerate() {
        let time = clock.bar(bar);
        let apart = set_apart(bar);
        for Taken { hit, hands, feet } in taken(bar, apart, &block.kit) {
            let stroke =
                |at| Stroke { seconds: time.at(at), span: hit.span, bar: number + 1, grace: false };
            let first = stroke(hit.at);
            if !hands.is_empty() {
                // Two strokes of one hand; a longer roll is shared by both.
                let second = (hit.strokes == 1).then(|| {
                    let end = time.end(bar, hit, apart);
                    stroke(hit.at + (end - hit.at) / 2)
                });
                let strokes = || std::iter::once(first).chain(second);
                let letter = bar.sticking.binary_search_by_key(&hit.at, |s| s.at).ok();
                let letter = letter.and_then(|i| bar.sticking.get(i));
                let both = hands.len() > 1 || letter.is_some_and(|l| l.hand == Hand::Both);
                for _ in 0..if both { 2 } else { 1 } {
                    limbs.hands.extend(strokes());
                }
                let grace = Stroke { grace: true, ..first };
                limbs.hands.extend((hit.grace > 0 && !both).then_some(grace));
                if let Some(letter) = letter {
                    let plays = |hand| letter.hand == hand || letter.hand == Hand::Both;
                    for (hand, list) in
                        [(Hand::Right, &mut limbs.right), (Hand::Left, &mut limbs.left)]
                    {
                        if plays(hand) {
                            list.extend(strokes());
                        } else if hit.grace > 0 && letter.hand == hand.other() {
                            list.push(grace);
                        }
                    }
                }
            }
            for foot in &feet {
                let letter = bar.pedalling.binary_search_by_key(&hit.at, |s| s.at).ok();
                let letter = letter.and_then(|i| bar.pedalling.get(i)).map(|s| s.hand);
                match letter.filter(|_| feet.len() == 1) {
                    Some(Hand::Right) => limbs.right_foot.push(first),
                    Some(Hand::Left) => limbs.left_foot.push(first),
                    _ if block.kit.is_kick(*foot) => limbs.kick.push(first),
                    _ => limbs.left_foot.push(first),
                }
            }
        }
    }
    for list in [
        &mut limbs.right,
        &mut limbs.left,
        &mut limbs.hands,
        &mut limbs.kick,
        &mut limbs.right_foot,
        &mut limbs.left_foot,
    ] {
        list.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
    }
    Some(limbs)
}

/// Limbs that would have to be in two places at once: the first of each kind in a block.
fn places(block: &Block, found: &mut Vec<Found>) {
    let many = block.bars.len() > 1;
    let kit = &*block.kit;
    let name = |id: &InstrumentId| kit.get(*id).map_or("?", |i| i.name.as_str());
    let (mut hand_told, mut foot_told) = (false, false);
    let mut kicks: Vec<(Hand, Span, usize)> = Vec::new();
    for (number, bar) in block.bars.iter().enumerate() {
        let place = if many { format!("bar {}: ", number + 1) } else { String::new() };
        for Taken { hit, hands, feet } in taken(bar, set_apart(bar), kit) {
            let hand = bar.sticking.binary_search_by_key(&hit.at, |s| s.at).ok();
            let hand = hand.and_then(|i| bar.sticking.get(i));
            let foot = bar.pedalling.binary_search_by_key(&hit.at, |s| s.at).ok();
            let foot = foot.and_then(|i| bar.pedalling.get(i));
            if let (Some(letter), [first, .., last]) = (hand, hands.as_slice())
                && letter.hand != Hand::Both
                && kit.spot(*first).distance(kit.spot(*last)) > REACH
                && !hand_told
            {
                hand_told = true;
                let side = side(letter.hand);
                found.push(Found {
                    span: hit.span,
                    message: format!(
                        "{place}the {side} hand is to strike {} at once, which stand too far apart",
                        say::listed([name(first), name(last)])
                    ),
                    mend: "write `B` for both hands, or leave one of the two out".to_owned(),
                });
            }
            if let (Some(letter), [first, .., last]) = (foot, feet.as_slice())
                && letter.hand != Hand::Both
                && !foot_told
            {
                foot_told = true;
                let side = side(letter.hand);
                found.push(Found {
                    span: hit.span,
                    message: format!(
                        "{place}the {side} foot is to be on {} at once",
                        say::listed([name(first), name(last)])
                    ),
                    mend: "write `B` for both feet, or leave one of the two out".to_owned(),
                });
            }
            if let (Some(letter), [only]) = (foot, feet.as_slice())
                && kit.is_kick(*only)
            {
                kicks.push((letter.hand, letter.span, number + 1));
            }
        }
    }
    let of = |hand: Hand| kicks.iter().find(|k| k.0 == hand || k.0 == Hand::Both);
    if let (Some(right), Some(left), false) =
        (of(Hand::Right), of(Hand::Left), block.settings.limits.double_pedal)
    {
        let (_, span, bar) = if right.1 > left.1 { right } else { left };
        let place = if many { format!("bar {bar}: ") } else { String::new() };
        found.push(Found {
            span: *span,
            message: format!("{place}both feet play the kick here, and it has one pedal"),
            mend: "write `double-pedal: yes` if it has two, or give the kick to one foot"
                .to_owned(),
        });
    }
}

fn side(hand: Hand) -> &'static str {
    if hand == Hand::Left { "left" } else { "right" }
}

#[cfg(test)]
mod tests;

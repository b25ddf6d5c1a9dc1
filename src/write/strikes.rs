//! What is heard in practice, as strikes for the mixer.

use crate::perform::StrokeKind;
use crate::practice::{Event, Plan, Sound};
use crate::score::Hand;
use crate::score::kit::{Opening, StemSign};
use crate::sound::{FRAMES_PER_SECOND, Kit, Mixer, Side, Strike, Technique, Voice};

/// How loud clicks are, from 0 to 1. Common practice, no source.
const CLICK: f64 = 0.7;

/// Strikes in the order in which they are heard.
pub type Strikes<'a> = Box<dyn Iterator<Item = Strike> + 'a>;

/// Everything a plan has to be heard, as strikes.
pub fn strikes(plan: &Plan) -> Strikes<'_> {
    Box::new(plan.events().map(strike))
}

/// The mixer of all that a plan has to be heard, on a kit.
pub fn mixer<'a>(plan: &'a Plan, kit: &'a mut Kit) -> Mixer<'a, Strikes<'a>> {
    Mixer::new(kit, strikes(plan), frame(plan.seconds()))
}

/// The frame nearest to a second.
fn frame(seconds: f64) -> u64 {
    // Seconds are zero at least; the cast keeps to bounds.
    (seconds * f64::from(FRAMES_PER_SECOND)).round() as u64
}

/// A sound that is heard, as a strike.
pub(super) fn strike(event: Event) -> Strike {
    let start = frame(event.seconds);
    match event.sound {
        Sound::Click(kind) => Strike {
            frame: start,
            voice: Voice { key: 0, technique: Technique::Click(kind) },
            loudness: CLICK,
            until: None,
            hand: Side::Unknown,
        },
        Sound::Stroke { key, opening, sign, kind, loudness, hand, end, silenced, .. } => Strike {
            frame: start,
            voice: Voice {
                key,
                technique: match kind {
                    StrokeKind::Buzz => {
                        Technique::Buzz { frames: frame(end) - start.min(frame(end)) }
                    }
                    StrokeKind::Main | StrokeKind::Grace | StrokeKind::Roll => {
                        technique(opening, sign)
                    }
                },
            },
            loudness: loudness.value(),
            until: silenced.map(frame),
            hand: match hand {
                Some(Hand::Right) => Side::Right,
                Some(Hand::Left) => Side::Left,
                Some(Hand::Both) | None => Side::Unknown,
            },
        },
    }
}

fn technique(opening: Option<Opening>, sign: Option<StemSign>) -> Technique {
    match (sign, opening) {
        (Some(StemSign::RimShot), _) => Technique::RimShot,
        (Some(StemSign::DeadStroke), _) => Technique::Dead,
        (Some(StemSign::Sweep), _) => Technique::Sweep,
        (None, Some(Opening::Half)) => Technique::HalfOpen,
        (None, Some(Opening::Open | Opening::Closed) | None) => Technique::Plain,
    }
}

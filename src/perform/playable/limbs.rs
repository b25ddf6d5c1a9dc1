//! The strokes of a block, limb by limb.

use super::passage::LimbStroke;
use crate::perform::order::Played;
use crate::perform::timeline::{Note, StrokeKind, Timeline};
use crate::score::kit::Limb;
use crate::score::{Closing, Hand, PlayerPart};

/// Seconds between what a double barline sets apart, as one exercise of a series from the next: each
/// is played by itself.
const APART: f64 = 60.0;

/// The strokes of each limb, by time.
#[derive(Default)]
pub(super) struct Limbs {
    pub(super) right: Vec<LimbStroke>,
    pub(super) left: Vec<LimbStroke>,
    /// All strokes of the hands, whichever plays them.
    pub(super) hands: Vec<LimbStroke>,
    /// Strokes on the kick and the hi-hat's pedal where nothing says which foot plays them.
    pub(super) kick: Vec<LimbStroke>,
    pub(super) right_foot: Vec<LimbStroke>,
    pub(super) left_foot: Vec<LimbStroke>,
}

impl Limbs {
    /// The strokes of a timeline.
    pub(super) fn of(part: &PlayerPart, timeline: &Timeline) -> Self {
        let mut limbs = Self::default();
        let doubled = doubled(timeline);
        let apart = apart(part, timeline);
        for (note, doubled) in timeline.notes.iter().zip(doubled) {
            let late = apart.get(note.played).copied().unwrap_or(0.0);
            let stroke = |seconds: f64| LimbStroke {
                seconds: seconds + late,
                span: note.span,
                bar: note.id.bar + 1,
                grace: false,
            };
            let first = stroke(note.seconds);
            match note.limb {
                Limb::Hands => {
                    let strokes: Vec<LimbStroke> =
                        [first].into_iter().chain(doubled.into_iter().map(stroke)).collect();
                    limbs.hand(note, &strokes);
                }
                Limb::Feet => limbs.foot(part, note, first),
            }
        }
        limbs.sort();
        limbs
    }

    /// The strokes of a note of the hands, of which the first is the note itself.
    fn hand(&mut self, note: &Note, strokes: &[LimbStroke]) {
        let Some(first) = strokes.first() else { return };
        let grace = LimbStroke { grace: true, ..*first };
        let both = note.instruments.len() > 1 || note.letter == Some(Hand::Both);
        for _ in 0..if both { 2 } else { 1 } {
            self.hands.extend(strokes);
        }
        self.hands.extend((note.grace > 0 && !both).then_some(grace));
        let Some(letter) = note.letter else { return };
        for (hand, list) in [(Hand::Right, &mut self.right), (Hand::Left, &mut self.left)] {
            if letter == hand || letter == Hand::Both {
                list.extend(strokes);
            } else if note.grace > 0 {
                list.push(grace);
            }
        }
    }

    fn foot(&mut self, part: &PlayerPart, note: &Note, stroke: LimbStroke) {
        let letter = note.letter.filter(|_| note.instruments.len() == 1);
        for instrument in &note.instruments {
            let list = match letter {
                Some(Hand::Right) => &mut self.right_foot,
                Some(Hand::Left) => &mut self.left_foot,
                Some(Hand::Both) | None if part.kit.is_kick(*instrument) => &mut self.kick,
                Some(Hand::Both) | None => &mut self.left_foot,
            };
            list.push(stroke);
        }
    }

    fn sort(&mut self) {
        for list in [
            &mut self.right,
            &mut self.left,
            &mut self.hands,
            &mut self.kick,
            &mut self.right_foot,
            &mut self.left_foot,
        ] {
            list.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
        }
    }
}

/// The seconds of the further strokes of each note's diddle; a longer roll is shared by both hands,
/// and is not judged.
fn doubled(timeline: &Timeline) -> Vec<Vec<f64>> {
    let mut doubled = vec![Vec::new(); timeline.notes.len()];
    for stroke in timeline.strokes.iter().filter(|stroke| stroke.kind == StrokeKind::Roll) {
        let diddle = timeline.notes.get(stroke.note).is_some_and(|note| note.slashes == 1);
        if let (true, Some(own)) = (diddle, doubled.get_mut(stroke.note))
            && own.last() != Some(&stroke.seconds)
        {
            own.push(stroke.seconds);
        }
    }
    doubled
}

/// The seconds by which double barlines before each playing of a bar put it off.
fn apart(part: &PlayerPart, timeline: &Timeline) -> Vec<f64> {
    let mut late = 0.0;
    let before = |played: &Played| {
        let now = late;
        let bar = part.bars.get(played.bar);
        if bar.is_some_and(|bar| bar.closing == Closing::Double) {
            late += APART;
        }
        now
    };
    timeline.bars.iter().map(before).collect()
}

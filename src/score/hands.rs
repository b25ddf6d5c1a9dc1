//! What hands and feet can do, and rules by which hands are told apart.

use super::Hand;

/// What one drummer can do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Strokes a second that one hand keeps up, 1 to 30.
    pub hand: f64,
    /// The same for one foot.
    pub foot: f64,
    /// The kick has a pedal for each foot.
    pub double_pedal: bool,
}

impl Default for Limits {
    /// Sixteenths of one hand at 120 and of one foot at 105 or so. Common practice, no source.
    fn default() -> Self {
        Self { hand: 8.0, foot: 7.0, double_pedal: false }
    }
}

/// How the hands are told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Each hand keeps its places on the subdivision grid; a rest keeps its hand's place.
    Natural,
    /// The hands take turns, note by note.
    Alternate,
    /// The way round the kit that moves the hands least.
    Economy,
}

/// A rule that gives every note of the hands its letter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StickRule {
    /// How.
    pub way: Way,
    /// The hand that leads.
    pub first: Hand,
}

impl StickRule {
    /// The rule as a `stick:` line says it.
    pub fn words(self) -> String {
        let word = match self.way {
            Way::Natural => "natural",
            Way::Alternate => "alternate",
            Way::Economy => "economy",
        };
        match self.first {
            Hand::Left => format!("{word} left"),
            Hand::Right | Hand::Both => word.to_owned(),
        }
    }

    /// What the rule does, as a sentence without its end.
    pub fn told(self) -> String {
        let (first, other) = match self.first {
            Hand::Left => ("left", "right"),
            Hand::Right | Hand::Both => ("right", "left"),
        };
        match self.way {
            Way::Natural => format!(
                "each hand keeps its places on the grid: the {first} hand the beat and every second cell after it, the {other} hand those between; a rest keeps its hand's place"
            ),
            Way::Alternate => format!("the hands take turns, the {first} hand first"),
            Way::Economy => format!(
                "the hands go the shortest way round the kit, and the {first} hand begins where it is all one"
            ),
        }
    }
}

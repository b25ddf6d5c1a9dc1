//! Note values: a power of two and dots.

use crate::score::{SHORTEST, Time};

/// How often the shortest value that is written halves a whole note.
const MOST_HALVINGS: i32 = SHORTEST.ilog2() as i32;

/// A written note value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Value {
    /// How often a whole note is halved: 0 a whole note, 2 a quarter, 4 a sixteenth; -1 a double
    /// whole note.
    pub halvings: i32,
    /// Augmentation dots, 0 or 1.
    pub dots: u32,
}

impl Value {
    /// The value that lasts exactly so long, if a plain or a dotted note does.
    pub fn exactly(time: Time) -> Option<Self> {
        Self::up_to(time).filter(|value| value.time() == time)
    }

    /// The longest plain or dotted value that lasts no longer.
    pub fn up_to(time: Time) -> Option<Self> {
        (-1..=MOST_HALVINGS)
            .flat_map(|halvings| [Self { halvings, dots: 1 }, Self { halvings, dots: 0 }])
            .find(|value| value.time() <= time)
    }

    /// The longest plain value that lasts no longer.
    pub fn plain_up_to(time: Time) -> Option<Self> {
        (-1..=MOST_HALVINGS)
            .map(|halvings| Self { halvings, dots: 0 })
            .find(|value| value.time() <= time)
    }

    /// How long it lasts.
    pub fn time(self) -> Time {
        let (parts, halvings) =
            if self.dots > 0 { (3, self.halvings + 1) } else { (1, self.halvings) };
        match u32::try_from(halvings) {
            Ok(halvings) => Time::of_halvings(parts, halvings),
            Err(_) => Time::of_halvings(parts << halvings.unsigned_abs(), 0),
        }
    }

    /// Half of it, where so short a value is written.
    pub fn halved(self) -> Option<Self> {
        let halvings = self.halvings + 1;
        (halvings <= MOST_HALVINGS).then_some(Self { halvings, ..self })
    }

    /// Flags, or beams: 1 for an eighth, 2 for a sixteenth.
    pub fn flags(self) -> usize {
        usize::try_from(self.halvings - 2).unwrap_or(0)
    }

    /// Whether it has a stem.
    pub fn has_stem(self) -> bool {
        self.halvings >= 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dotted_eighth_is_three_sixteenths() {
        let value = Value::exactly(Time::new(3, 16)).unwrap();
        assert_eq!((value.halvings, value.dots), (3, 1));
        assert_eq!(value.flags(), 1);
    }

    #[test]
    fn five_sixteenths_is_no_single_value() {
        assert_eq!(Value::exactly(Time::new(5, 16)), None);
        assert_eq!(Value::up_to(Time::new(5, 16)), Some(Value { halvings: 2, dots: 0 }));
    }
}

//! Grace notes.

use super::kit::InstrumentId;

/// Most grace notes before a hit.
const MOST: usize = 3;

/// The grace notes before a hit: none, or up to three.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Grace {
    drums: [GraceDrum; MOST],
    count: u8,
}

/// What a grace note is struck on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum GraceDrum {
    /// What its hit is struck on.
    #[default]
    Same,
    /// Another instrument of the kit.
    Other(InstrumentId),
}

impl Grace {
    /// So many on the drum of their hit, three at most.
    #[must_use]
    pub fn same(count: u8) -> Self {
        Self { count: count.min(MOST as u8), ..Self::default() }
    }

    /// One on each of some instruments, the first three of them.
    #[must_use]
    pub fn on(instruments: impl IntoIterator<Item = InstrumentId>) -> Self {
        let mut grace = Self::default();
        for (place, instrument) in grace.drums.iter_mut().zip(instruments) {
            *place = GraceDrum::Other(instrument);
            grace.count += 1;
        }
        grace
    }

    /// How many there are.
    #[must_use]
    pub fn count(self) -> u8 {
        self.count
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_none(self) -> bool {
        self.count == 0
    }

    /// What they are struck on, in order.
    #[must_use]
    pub fn drums(&self) -> &[GraceDrum] {
        self.drums.get(..usize::from(self.count)).unwrap_or(&[])
    }

    /// The more of two.
    #[must_use]
    pub fn most(self, other: Self) -> Self {
        if other.count > self.count { other } else { self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_are_three_at_most() {
        let all = Grace::on((0..5).map(InstrumentId::new));
        assert_eq!(all.count(), 3);
        assert_eq!(all.drums().last(), Some(&GraceDrum::Other(InstrumentId::new(2))));
        assert_eq!(Grace::same(9), Grace::same(3));
        assert_eq!(Grace::same(2).drums(), [GraceDrum::Same; 2]);
        assert_eq!(Grace::same(1).most(all), all);
        assert!(Grace::default().is_none());
    }
}

//! The parameters of a zone, which the specification calls generators.

use super::chunks::number;

/// Numbers of generators, as the specification has them.
pub(super) mod is {
    pub(in super::super) const START: usize = 0;
    pub(in super::super) const END: usize = 1;
    pub(in super::super) const LOOP_START: usize = 2;
    pub(in super::super) const LOOP_END: usize = 3;
    pub(in super::super) const START_COARSE: usize = 4;
    pub(in super::super) const CUTOFF: usize = 8;
    pub(in super::super) const END_COARSE: usize = 12;
    pub(in super::super) const PAN: usize = 17;
    pub(in super::super) const DELAY: usize = 33;
    pub(in super::super) const ATTACK: usize = 34;
    pub(in super::super) const HOLD: usize = 35;
    pub(in super::super) const DECAY: usize = 36;
    pub(in super::super) const SUSTAIN: usize = 37;
    pub(in super::super) const RELEASE: usize = 38;
    pub(in super::super) const INSTRUMENT: usize = 41;
    pub(in super::super) const KEYS: usize = 43;
    pub(in super::super) const VELOCITIES: usize = 44;
    pub(in super::super) const LOOP_START_COARSE: usize = 45;
    pub(in super::super) const KEY: usize = 46;
    pub(in super::super) const ATTENUATION: usize = 48;
    pub(in super::super) const LOOP_END_COARSE: usize = 50;
    pub(in super::super) const COARSE_TUNE: usize = 51;
    pub(in super::super) const FINE_TUNE: usize = 52;
    pub(in super::super) const SAMPLE: usize = 53;
    pub(in super::super) const LOOPS: usize = 54;
    pub(in super::super) const SCALE: usize = 56;
    pub(in super::super) const ROOT: usize = 58;
    pub(in super::super) const MANY: usize = 61;
}

/// The parameters of a zone; nothing where the zone does not say.
#[derive(Clone, Copy, Debug)]
pub(super) struct Generators([Option<i16>; is::MANY]);

impl Generators {
    pub(super) const NONE: Self = Self([None; is::MANY]);

    /// These with what a row of records of four bytes adds or puts in place.
    pub(super) fn with(mut self, records: &[u8]) -> Self {
        for record in records.chunks_exact(4) {
            if let Some(place) = self.0.get_mut(usize::from(number(record, 0))) {
                *place = Some(number(record, 2).cast_signed());
            }
        }
        self
    }

    pub(super) fn get(&self, which: usize) -> Option<i16> {
        self.0.get(which).copied().flatten()
    }

    /// The value, or what holds where none is said.
    pub(super) fn or(&self, which: usize, default: i16) -> f64 {
        f64::from(self.get(which).unwrap_or(default))
    }

    /// A place in a table.
    pub(super) fn place(&self, which: usize) -> Option<usize> {
        self.get(which).map(|value| usize::from(value.cast_unsigned()))
    }

    /// Both ends of a range of keys or velocities.
    pub(super) fn range(&self, which: usize) -> (u8, u8) {
        self.get(which).map_or((0, 127), |both| {
            let [low, high] = both.to_le_bytes();
            (low, high)
        })
    }

    /// A range that two zones have in common.
    pub(super) fn common(&self, other: &Self, which: usize) -> (u8, u8) {
        let (a, b) = (self.range(which), other.range(which));
        (a.0.max(b.0), a.1.min(b.1))
    }
}

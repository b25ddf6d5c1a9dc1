//! The time of a bar: its beats, how they are counted, and which of its notes share a beam.

use super::counting::{Counter, CountingSystems};
use super::rows::PlannedSet;
use super::setup::Setup;
use super::{beams, unmetered};
use crate::score::{Meter, Time};
use std::sync::Arc;

/// The time of a bar.
pub(super) struct BarTime {
    /// Its time signature, or its own groups where there is none.
    pub(super) meter: Arc<Meter>,
    pub(super) counter: Arc<Counter>,
    /// The groups under one beam, where a key says them.
    pub(super) beams: Option<Arc<[Time]>>,
}

impl BarTime {
    /// The time of bars in a meter.
    fn new(setup: &Setup, meter: Arc<Meter>, systems: &CountingSystems) -> Self {
        let system = systems.get_or_numbers(setup.counting.as_deref());
        let counter = Arc::new(Counter::new(system, &meter, setup.compound, setup.odd));
        Self { beams: beams::groups(setup, &meter), meter, counter }
    }

    /// The time of the bars of a set; the bars of one without a time signature have their own.
    pub(super) fn of_set(set: &PlannedSet<'_>, systems: &CountingSystems) -> Self {
        Self::new(&set.setup, set.setup.meter.clone(), systems)
    }

    /// The time of a bar of a set, where that of the bar before it is known.
    pub(super) fn of_next(
        self,
        set: &PlannedSet<'_>,
        bar: usize,
        systems: &CountingSystems,
    ) -> Self {
        if set.setup.meter.is_measured() {
            return self;
        }
        let meter = unmetered::meter(set, bar);
        if meter == self.meter { self } else { Self::new(&set.setup, meter, systems) }
    }
}

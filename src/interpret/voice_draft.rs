//! Voices whose hits are not yet final.

use crate::interpret::bar_draft::Tie;
use crate::score::kit::Limb;
use crate::score::{Division, Hit, Voice};

/// A hit of a voice, with the limb of each of its strikes.
#[derive(Clone, Debug)]
pub(crate) struct VoiceHit {
    pub(crate) hit: Hit,
    pub(crate) limbs: Vec<Limb>,
    /// Its end is written, for this limb.
    pub(crate) held: Option<Limb>,
    pub(crate) tie: Tie,
}

/// One voice of one bar, before its hits are final.
#[derive(Clone, Debug, Default)]
pub(crate) struct VoiceDraft {
    pub(crate) hits: Vec<VoiceHit>,
    pub(crate) divisions: Vec<Division>,
    /// Silent, with a rest for the whole bar.
    pub(crate) bar_rest: bool,
}

impl VoiceDraft {
    pub(crate) fn finish(self) -> Voice {
        let hits = self.hits.into_iter().map(|m| Hit { tied: m.tie != Tie::None, ..m.hit });
        Voice { hits: hits.collect(), divisions: self.divisions, bar_rest: self.bar_rest }
    }
}

//! Small notes over the staff: what the band plays over a drummer's time, and the cues of other players.

use super::bar::{Cue, SmallNotes};
use super::kit::{Instrument, Limb};
use super::{Bar, Hit, HitsRow, Kit, PlayerPart, Strike, Time, Voice};
use std::sync::Arc;

impl SmallNotes {
    /// What notes of the band are written on: one instrument, with the letter and the name of its row.
    #[must_use]
    pub fn kit_of_band() -> Kit {
        Kit { instruments: vec![Instrument::unknown('x', HitsRow::Band.as_str())] }
    }

    /// Notes of the band, from a bar that was read for them.
    #[must_use]
    pub fn of_band(kit: Arc<Kit>, bar: &Bar) -> Option<Self> {
        let bar = bar.with_voice(bar.upper.clone());
        (!bar.upper.hits.is_empty()).then_some(Self { player: None, kit, bar })
    }

    /// The cue of a bar, from the part of the player it names; nothing where that player is silent there too.
    /// The hands are shown, and the feet where the hands are silent. What is tied in from a bar that is not
    /// shown is left out.
    fn cue(part: &PlayerPart, index: usize, cue: &Cue, ties: Ties) -> Option<Self> {
        let bar = part.bars.get(index)?;
        let shown = |voice: &Voice| {
            let from_before = |hit: &Hit| hit.continued && hit.at == Time::ZERO;
            let mut hits: Vec<Hit> =
                voice.hits.iter().filter(|hit| hit.at >= cue.at).cloned().collect();
            hits.retain(|hit| ties.from_before || !from_before(hit));
            if let Some(last) = hits.last_mut().filter(|_| !ties.into_next) {
                last.tied = false;
            }
            hits.iter_mut().for_each(|hit| keep_one_head(hit, &part.kit));
            let mut divisions = voice.divisions.clone();
            divisions.retain(|division| {
                let end = division.start + division.length;
                hits.iter().any(|hit| division.start <= hit.at && hit.at < end)
            });
            Voice { hits, divisions, bar_rest: false }
        };
        let voices = [&bar.upper, &bar.lower].map(shown);
        let voice = voices.into_iter().find(|voice| !voice.hits.is_empty())?;
        let player = Some(cue.player.clone());
        Some(Self { player, kit: part.kit.clone(), bar: bar.with_voice(voice) })
    }
}

/// Keeps of what is struck together what stands highest of the hands, or of all where they do not strike: at
/// one height there is room for one head.
fn keep_one_head(hit: &mut Hit, kit: &Kit) {
    let of_hands = |strike: &&Strike| kit.limb(strike.instrument) == Limb::Hands;
    let kept = hit.strikes.iter().rfind(of_hands).or(hit.strikes.last()).copied();
    hit.strikes = kept.into_iter().collect();
}

/// Whether the bars before and after a cue are shown as well, so that ties can lead there.
#[derive(Clone, Copy)]
struct Ties {
    from_before: bool,
    into_next: bool,
}

/// Shows the cues that a part asks for, found among the parts of its block.
pub(super) fn show_cues<'a>(part: &mut PlayerPart, of: impl Fn(&str) -> Option<&'a PlayerPart>) {
    let cues: Vec<Option<Cue>> = part.bars.iter().map(|bar| bar.cue.clone()).collect();
    let asked = |index: Option<usize>| index.and_then(|i| cues.get(i)).and_then(Option::as_ref);
    for (index, bar) in part.bars.iter_mut().enumerate() {
        let Some(cue) = asked(Some(index)).filter(|_| bar.is_silent()) else { continue };
        let same = |other: &Cue| other.player == cue.player;
        let ties = Ties {
            from_before: asked(index.checked_sub(1)).is_some_and(same),
            into_next: asked(Some(index + 1))
                .is_some_and(|next| same(next) && next.at == Time::ZERO),
        };
        let small = of(&cue.player).and_then(|other| SmallNotes::cue(other, index, cue, ties));
        if let Some(small) = small {
            bar.small = Some(Arc::new(small));
            bar.again = None;
        }
    }
}

impl Bar {
    /// A bar of the same time with one voice alone.
    fn with_voice(&self, upper: Voice) -> Self {
        Self {
            beams: self.beams.clone(),
            length: self.length,
            offset: self.offset,
            upper,
            ..Self::silent_of(self.meter.clone(), self.span)
        }
    }

    /// The same bar with nothing in it.
    #[must_use]
    pub fn silent(&self) -> Self {
        self.with_voice(Voice::default())
    }

    /// Whether nothing sounds in it.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        self.upper.hits.is_empty() && self.lower.hits.is_empty()
    }
}

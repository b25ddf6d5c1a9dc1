//! What holds for music where it stands: the keys of the file and, over them, those of a block.

use super::counting::{CompoundCount, OddCount};
use super::typography::Typographer;
use super::values;
use crate::score::block_layout::BlockLayout;
use crate::score::practice::Practice;
use crate::score::printing::Blank;
use crate::score::settings::{
    BlockSettings, CountDisplay, PartSettings, Rests, Staff, StickRule, StickingPlace, Swing, Tempo,
};
use crate::score::{Level, Limits, Meter, Span, Time};
use crate::syntax::values::beams::WrittenBeams;
use crate::syntax::values::tempo::WrittenTempo;
use std::sync::Arc;

/// How many voices a block is set in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Voices {
    /// As few as read well.
    #[default]
    Auto,
    /// One.
    One,
    /// Hands up, feet down.
    Two,
    /// Two in the bars that call for it.
    ByBar,
}

/// Everything keys can say of music.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Setup {
    pub(crate) tempo: Option<WrittenTempo>,
    pub(crate) meter: Arc<Meter>,
    /// A time signature that holds here could not be read, so that nothing is to be held against it.
    pub(crate) meter_lost: bool,
    pub(crate) swing: Option<Swing>,
    pub(crate) staff: Staff,
    pub(crate) counts: CountDisplay,
    pub(crate) sticking: StickingPlace,
    pub(crate) blank: Blank,
    /// The name of a counting system in lower case.
    pub(crate) counting: Option<String>,
    pub(crate) compound: Option<CompoundCount>,
    pub(crate) odd: Option<OddCount>,
    pub(crate) rests: Rests,
    pub(crate) voices: Voices,
    pub(crate) bars_per_line: Option<u32>,
    pub(crate) columns: u32,
    pub(crate) tags: Arc<[String]>,
    /// Blocks are printed in the context that plays them.
    pub(crate) in_context: bool,
    pub(crate) layout: BlockLayout,
    pub(crate) grace_slurs: bool,
    /// Seconds between a grace note and what follows it.
    pub(crate) grace_spread: f64,
    /// Which notes share a beam, and where the block says so; no place where a header says it.
    pub(crate) beams: Option<(WrittenBeams, Option<Span>)>,
    /// How long a pickup is, and where the block says so; nothing where a header says it.
    pub(crate) pickup: Option<(Time, Option<Span>)>,
    /// How the hands are told apart where no letters are written.
    pub(crate) stick: Option<StickRule>,
    /// What hands and feet can do.
    pub(crate) limits: Limits,
    /// It was played as it is written.
    pub(crate) as_played: bool,
    /// The name of the kit that is asked for, and where.
    pub(crate) kit: Option<(String, Span)>,
    /// How many share the rows.
    pub(crate) drummers: u32,
    /// A player who is silent for a line is left out of it.
    pub(crate) hide_empty_players: bool,
    /// How hard it is.
    pub(crate) level: Option<Level>,
    /// The tempo to be reached; its note is that of the tempo where it names none.
    pub(crate) goal: Option<WrittenTempo>,
    /// How it is practised.
    pub(crate) practice: Practice,
    /// How words are printed, by the language of the document.
    pub(crate) typographer: Typographer,
}

impl Default for Setup {
    fn default() -> Self {
        let plain = BlockSettings::default();
        let rows = PartSettings::default();
        Self {
            tempo: None,
            meter: Arc::new(Meter::four_four()),
            meter_lost: false,
            swing: None,
            staff: rows.staff,
            counts: rows.counts,
            sticking: rows.sticking,
            blank: rows.blank,
            counting: None,
            compound: None,
            odd: None,
            rests: rows.rests,
            voices: Voices::Auto,
            bars_per_line: None,
            columns: plain.columns,
            tags: plain.tags,
            in_context: plain.in_context,
            layout: plain.layout,
            grace_slurs: rows.grace_slurs,
            grace_spread: rows.grace_spread,
            beams: None,
            pickup: None,
            stick: None,
            limits: rows.limits,
            as_played: rows.as_played,
            kit: None,
            drummers: rows.drummers,
            hide_empty_players: plain.hide_empty_players,
            level: None,
            goal: None,
            practice: plain.practice,
            typographer: Typographer::of(None),
        }
    }
}

impl Setup {
    /// The same for the blocks under a header, in which the places of its lines mean nothing.
    pub(crate) fn under_header(self) -> Self {
        Self {
            pickup: self.pickup.map(|(length, _)| (length, None)),
            beams: self.beams.map(|(beams, _)| (beams, None)),
            ..self
        }
    }

    /// What the engraver needs to know of it.
    pub(crate) fn block_settings(&self) -> BlockSettings {
        BlockSettings {
            tempo: self.tempo.as_ref().map(|t| values::metronome(t, &self.meter)),
            swing: self.swing,
            bars_per_line: self.bars_per_line,
            columns: self.columns,
            tags: self.tags.clone(),
            layout: self.layout,
            hide_empty_players: self.hide_empty_players,
            in_context: self.in_context,
            level: self.level.clone(),
            goal: self.goal(),
            practice: self.practice.clone(),
        }
    }

    fn goal(&self) -> Option<Tempo> {
        let goal = self.goal.as_ref()?;
        let unit = goal.unit.or(self.tempo.as_ref().and_then(|tempo| tempo.unit));
        Some(values::metronome(&WrittenTempo { unit, ..goal.clone() }, &self.meter))
    }

    /// The settings of one player's rows.
    pub(crate) fn part_settings(&self) -> PartSettings {
        PartSettings {
            staff: self.staff,
            counts: self.counts,
            sticking: self.sticking,
            blank: self.blank,
            rests: self.rests,
            grace_slurs: self.grace_slurs,
            grace_spread: self.grace_spread,
            limits: self.limits,
            as_played: self.as_played,
            drummers: self.drummers,
        }
    }
}

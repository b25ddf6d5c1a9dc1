//! The entries of a notation key as a block of music.

use crate::score::kit::{InstrumentId, Kit};
use crate::score::legend::{Legend, LegendEntry, Sign};
use crate::score::meter::{MeterKind, MeterSign};
use crate::score::settings::{BlockSettings, PartSettings, Staff};
use crate::score::{
    Accent, Bar, Block, BlockWord, Closing, Grace, Hit, Meter, PlayerPart, Sticking, Strike, Time,
    Touch,
};
use crate::source::Span;
use smallvec::smallvec;
use std::sync::Arc;

/// The entries as quarters of one bar, all written at `span`.
pub fn block(entries: &[LegendEntry], legend: &Legend, staff: Staff, span: Span) -> Block {
    let settings =
        PartSettings { staff, grace_slurs: legend.grace_slurs, ..PartSettings::default() };
    let instruments = entries.iter().map(|e| e.instrument.clone()).collect();
    let bars = if entries.is_empty() { Vec::new() } else { vec![bar(entries, span)] };
    Block {
        word: BlockWord::Exercise,
        name: None,
        parent: None,
        plays: Arc::default(),
        title: None,
        settings: BlockSettings::default(),
        part: PlayerPart::alone(settings, Arc::new(Kit { instruments }), bars),
        others: Vec::new(),
        span,
    }
}

fn bar(entries: &[LegendEntry], span: Span) -> Bar {
    let count = u32::try_from(entries.len()).unwrap_or(u32::MAX);
    let meter = Arc::new(Meter {
        upper: vec![count],
        lower: 4,
        kind: MeterKind::Simple,
        sign: MeterSign::Numbers,
    });
    let mut bar = Bar { closing: Closing::Double, ..Bar::silent_of(meter, span) };
    for (index, entry) in entries.iter().enumerate() {
        let at = Time::QUARTER * index as i64;
        let mut hit = plain_hit(index, at, span);
        if let Some(sign) = entry.sign {
            show(sign, &mut hit, &mut bar);
        }
        bar.upper.hits.push(hit);
    }
    bar
}

/// A plain note on the instrument of an index.
fn plain_hit(index: usize, at: Time, span: Span) -> Hit {
    let strike = Strike {
        instrument: InstrumentId::new(index),
        accent: Accent::None,
        ghost: false,
        choked: false,
        span,
    };
    Hit {
        at,
        until: None,
        strikes: smallvec![strike],
        grace: Grace::default(),
        strokes: 0,
        buzz: false,
        touch: Touch::default(),
        tied: false,
        continued: false,
        span,
    }
}

/// Gives a note the sign that an entry explains, or a letter under it.
fn show(sign: Sign, hit: &mut Hit, bar: &mut Bar) {
    let letter =
        |hand| Sticking { at: hit.at, hand, grace: Vec::new(), other: None, span: hit.span };
    match sign {
        Sign::Accent => hit.strikes.iter_mut().for_each(|s| s.accent = Accent::Accent),
        Sign::Marcato => hit.strikes.iter_mut().for_each(|s| s.accent = Accent::Marcato),
        Sign::Short => hit.touch.staccato = true,
        Sign::Held => hit.touch.tenuto = true,
        Sign::Ghost => hit.strikes.iter_mut().for_each(|s| s.ghost = true),
        Sign::Grace(count) => hit.grace = Grace::same(count),
        Sign::Strokes(count) => hit.strokes = count,
        Sign::Buzz => hit.buzz = true,
        Sign::Unclear => hit.touch.unclear = true,
        Sign::Choke => hit.strikes.iter_mut().for_each(|s| s.choked = true),
        // The instrument's own sign.
        Sign::Opening(_) => {}
        Sign::Hand(hand) => bar.sticking.push(letter(hand)),
        Sign::Foot(hand) => bar.pedalling.push(letter(hand)),
    }
}

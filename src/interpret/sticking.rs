//! Sticking and pedalling: letters given to the struck hits of hands or feet.

use crate::interpret::bar_draft::BarDraft;
use crate::interpret::bars::RawRow;
use crate::interpret::codes;
use crate::interpret::voice_draft::VoiceDraft;
use crate::score::Sticking;
use crate::score::Time;
use crate::score::kit::Limb;
use crate::score::{Accent, Grace, Hand};
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{StickCell, StickGroup, StickKind};

/// A letter, or `-` in its place.
struct WrittenLetter<'a> {
    stick: Option<WrittenStick<'a>>,
    span: Span,
}

/// What a letter says.
#[derive(Clone, Copy)]
struct WrittenStick<'a> {
    hand: Hand,
    grace: &'a [Hand],
    accent: Accent,
    other: Option<Hand>,
}

/// Letters placed straight on to hits, each with its bar.
struct LetterRun<'a> {
    letters: &'a [WrittenLetter<'a>],
    hits: &'a [(usize, Time)],
    place: RowBar<'a>,
    /// Whether too many or too few are a fault.
    trusted: bool,
    /// The `%` that repeats the letters.
    same: Option<Span>,
}

/// What a letter gives its hit.
struct Given<'a> {
    grace: &'a [Hand],
    accent: Accent,
    span: Span,
    place: RowBar<'a>,
}

/// Letters for the hits of one limb.
pub(crate) struct Sticks<'a> {
    pub(crate) row: &'a str,
    pub(crate) limb: Limb,
    pub(crate) raw: &'a RawRow<'a, StickGroup>,
    /// The row's name in the text.
    pub(crate) span: Span,
    /// Faults were found in the row already, so its letters are not counted.
    pub(crate) damaged: bool,
}

impl Sticks<'_> {
    /// Places the letters over the bars of a set, which begin at bar `first`: bar by bar where the
    /// row has barlines, else straight on. `-` leaves a hit without a letter. Grace notes and
    /// accents the letters have are given to hits that have none.
    pub(crate) fn place_letters(
        &self,
        drafts: &[BarDraft],
        voices: &mut [[VoiceDraft; 2]],
        first: usize,
        bars_in_block: usize,
        diagnostics: &mut Diagnostics,
    ) -> Vec<Vec<Sticking>> {
        let mut placed: Vec<Vec<Sticking>> = vec![Vec::new(); drafts.len()];
        if !self.raw.has_lines {
            let letters: Vec<WrittenLetter<'_>> =
                self.raw.bars.iter().flat_map(|bar| letters(&bar.groups)).collect();
            let hits: Vec<(usize, Time)> = (0..drafts.len())
                .flat_map(|bar| self.hits(&voices[bar]).into_iter().map(move |at| (bar, at)))
                .collect();
            let trusted = !drafts.iter().any(|d| d.broken);
            let place = RowBar { row: self.row, bar: None };
            let run = LetterRun { letters: &letters, hits: &hits, place, trusted, same: None };
            self.hand_out(&run, voices, &mut placed, diagnostics);
            return placed;
        }
        let mut counts: Vec<Option<usize>> = vec![None; drafts.len()];
        for (bar, raw) in self.raw.bars.iter().enumerate().take(drafts.len()) {
            let letters = letters(&raw.groups);
            if letters.is_empty() {
                continue;
            }
            let hits: Vec<(usize, Time)> =
                self.hits(&voices[bar]).into_iter().map(|at| (bar, at)).collect();
            let place =
                RowBar { row: self.row, bar: (bars_in_block > 1).then_some(first + bar + 1) };
            // Letters repeated for as many hits repeat the faults of the bar they are copied from.
            let repeated = raw.same.is_some_and(|same| {
                let back = bar.checked_sub(same.again.bars.into());
                back.and_then(|back| counts.get(back)) == Some(&Some(hits.len()))
            });
            if let Some(count) = counts.get_mut(bar) {
                *count = Some(hits.len());
            }
            let trusted = !drafts[bar].broken && !repeated;
            let same = raw.same.map(|same| same.span);
            let run = LetterRun { letters: &letters, hits: &hits, place, trusted, same };
            self.hand_out(&run, voices, &mut placed, diagnostics);
        }
        placed
    }

    /// Times of the struck hits of the limb.
    fn hits(&self, voices: &[VoiceDraft; 2]) -> Vec<Time> {
        let mut times: Vec<Time> = voices
            .iter()
            .flat_map(|v| v.hits.iter())
            .filter(|m| !m.hit.continued && m.limbs.contains(&self.limb))
            .map(|m| m.hit.at)
            .collect();
        times.sort();
        times.dedup();
        times
    }

    fn hand_out(
        &self,
        run: &LetterRun<'_>,
        voices: &mut [[VoiceDraft; 2]],
        placed: &mut [Vec<Sticking>],
        diagnostics: &mut Diagnostics,
    ) {
        let LetterRun { letters, hits, place, trusted, same } = *run;
        let mut unreported = Diagnostics::default();
        for (letter, (bar, at)) in letters.iter().zip(hits) {
            let reported = if same.is_some() { &mut unreported } else { &mut *diagnostics };
            let Some(WrittenStick { hand, grace, accent, other }) = letter.stick else { continue };
            let given = Given { grace, accent, span: letter.span, place };
            self.adorn(&mut voices[*bar], *at, &given, reported);
            let (grace, span) = (grace.to_vec(), letter.span);
            placed[*bar].push(Sticking { at: *at, hand, grace, other, span });
        }
        if !trusted || self.damaged {
            return;
        }
        let limb = match self.limb {
            Limb::Hands => "hands",
            Limb::Feet => "feet",
        };
        let counts = format!(
            "{place}: {} for {} of the {limb}",
            say::several(letters.len(), "letter"),
            say::several(hits.len(), "hit")
        );
        if letters.len() > hits.len() {
            let over = &letters[hits.len()..];
            let span = over.iter().fold(over[0].span, |all, l| all.join(l.span));
            let span = same.unwrap_or(span);
            let what = match over.len() {
                1 => "the last one is too many".to_owned(),
                n => format!("the last {} are too many", say::number(n)),
            };
            diagnostics.error(span, format!("{counts}; {what}")).code(codes::LETTERS_TOO_MANY).mend(
                "write one letter for each hit; several drums struck at once take one letter, `B` for both hands",
            );
        } else if letters.len() < hits.len() {
            let span = same.or(letters.last().map(|l| l.span)).unwrap_or(self.span);
            let missing = hits.len() - letters.len();
            let stay = if missing == 1 { "stays" } else { "stay" };
            diagnostics
                .warning(
                    span,
                    format!(
                        "{counts}; the last {} {stay} without",
                        if missing == 1 { "one".to_owned() } else { say::number(missing) }
                    ),
                )
                .code(codes::LETTERS_TOO_FEW)
                .mend("write `-` for a hit that is to have no letter");
        }
    }

    /// Gives a hit the grace notes and the accent of its letter where it has none of its own.
    fn adorn(
        &self,
        voices: &mut [VoiceDraft; 2],
        at: Time,
        letter: &Given<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let Given { grace, accent, span, place } = *letter;
        let given = grace.len() as u8;
        for voice in voices {
            let Ok(index) = voice.hits.binary_search_by_key(&at, |m| m.hit.at) else { continue };
            let merged = &mut voice.hits[index];
            if !merged.limbs.contains(&self.limb) {
                continue;
            }
            if given > 0 && merged.hit.grace.is_none() {
                merged.hit.grace = Grace::same(given);
            } else if given > 0 && merged.hit.grace.count() != given {
                let has = say::several(merged.hit.grace.count().into(), "grace note");
                let letters = say::several(given.into(), "grace letter");
                diagnostics
                    .warning(span, format!("{place}: {letters} for a hit with {has}"))
                    .code(codes::GRACE_LETTERS_DIFFER)
                    .mend("write a lower-case letter for each grace note");
            }
            let limbs = merged.limbs.iter();
            for (strike, limb) in merged.hit.strikes.iter_mut().zip(limbs) {
                if *limb == self.limb && strike.accent == Accent::None && !strike.ghost {
                    strike.accent = accent;
                }
            }
        }
    }
}

fn letters<'a>(groups: &[&'a StickGroup]) -> Vec<WrittenLetter<'a>> {
    let mut letters = Vec::new();
    for group in groups {
        gather(&group.cells, &mut letters);
    }
    letters
}

/// The letters of cells and of the splits among them, in order.
fn gather<'a>(cells: &'a [StickCell], letters: &mut Vec<WrittenLetter<'a>>) {
    let mut waiting: Vec<std::slice::Iter<'a, StickCell>> = vec![cells.iter()];
    while let Some(cells) = waiting.last_mut() {
        let Some(cell) = cells.next() else {
            waiting.pop();
            continue;
        };
        match &cell.kind {
            StickKind::Silence => {}
            StickKind::NoLetter => letters.push(WrittenLetter { stick: None, span: cell.span }),
            StickKind::Letter { hand, grace, accent, other } => letters.push(WrittenLetter {
                stick: Some(WrittenStick { hand: *hand, grace, accent: *accent, other: *other }),
                span: cell.span,
            }),
            StickKind::Split(inner) => waiting.push(inner.iter()),
        }
    }
}

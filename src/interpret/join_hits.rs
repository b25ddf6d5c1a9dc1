//! What several rows strike at one time joined into one hit.

use crate::interpret::bar_draft::{RowHit, Tie};
use crate::interpret::codes;
use crate::interpret::place::{LimbStrike, LimbStrikes};
use crate::interpret::voice_draft::VoiceHit;
use crate::score::kit::Limb;
use crate::score::{Grace, Hit, Kit, Strike, Strikes};
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use smallvec::SmallVec;

/// Joins the hits of one bar; pairs of rows that strike one instrument at once are reported once.
pub(crate) struct HitJoiner<'a> {
    kit: &'a Kit,
    /// The bar in its block, from 1, where that has several.
    bar: Option<usize>,
    reported: Vec<(&'a str, &'a str)>,
}

/// A hit that is being joined.
struct JoinedHit<'a> {
    hit: Hit,
    held: Option<Limb>,
    tie: Tie,
    strikes: SmallVec<[(LimbStrike, Span, &'a str); 2]>,
}

impl<'a> JoinedHit<'a> {
    fn of(row: &'a str, first: &RowHit, continued: bool) -> Self {
        let cell = &first.cell;
        let hit = Hit {
            at: first.at,
            until: first.until,
            strikes: Strikes::new(),
            grace: cell.grace,
            strokes: cell.strokes,
            buzz: cell.buzz,
            touch: cell.touch,
            tied: false,
            continued,
            span: first.span,
        };
        let strikes = cell.strikes.iter().map(|strike| (*strike, first.span, row)).collect();
        Self { hit, held: held_by(first), tie: first.tie, strikes }
    }

    /// Takes over grace notes, strokes, touches and ends of another hit.
    fn add(&mut self, next: &RowHit) {
        let (hit, cell) = (&mut self.hit, &next.cell);
        hit.grace = hit.grace.most(cell.grace);
        hit.strokes = hit.strokes.max(cell.strokes);
        hit.buzz |= cell.buzz;
        hit.touch = hit.touch.with(cell.touch);
        hit.until = hit.until.max(next.until);
        self.held = self.held.or(held_by(next));
        self.tie = self.tie.max(next.tie);
    }

    fn finish(mut self, kit: &Kit) -> VoiceHit {
        let position = |strike: &LimbStrike| kit.get(strike.instrument).map_or(0, |i| i.position);
        self.strikes.sort_by_key(|(strike, ..)| (position(strike), strike.instrument));
        let strikes = self.strikes.iter().map(|(strike, span, _)| Strike {
            instrument: strike.instrument,
            accent: strike.accent,
            ghost: strike.ghost,
            choked: strike.choked,
            span: *span,
        });
        self.hit.strikes = strikes.collect();
        let limbs = self.strikes.iter().map(|(strike, ..)| strike.limb).collect();
        VoiceHit { hit: self.hit, limbs, held: self.held, tie: self.tie }
    }
}

impl<'a> HitJoiner<'a> {
    pub(crate) fn new(kit: &'a Kit, bar: Option<usize>) -> Self {
        Self { kit, bar, reported: Vec::new() }
    }

    /// One hit of all that is struck at one time.
    pub(crate) fn join(
        &mut self,
        parts: &[(&'a str, RowHit)],
        diagnostics: &mut Diagnostics,
    ) -> Option<VoiceHit> {
        let continued = parts.iter().all(|(_, hit)| hit.continued);
        let mut parts = parts.iter().filter(|(_, hit)| continued || !hit.continued);
        let (first_row, first) = parts.next()?;
        let mut joined = JoinedHit::of(first_row, first, continued);
        for (row, next) in parts {
            let differ = |a: u8, b: u8| a > 0 && b > 0 && a != b;
            let graces = [joined.hit.grace, next.cell.grace];
            if graces.iter().all(|grace| !grace.is_none()) && graces[0] != graces[1]
                || differ(joined.hit.strokes, next.cell.strokes)
            {
                let place = self.place(row);
                diagnostics
                    .warning(next.span, format!(
                        "{place}: this hit has other grace notes or strokes than `{first_row}` has at the same time; the most are set"
                    ))
                    .code(codes::ORNAMENTS_DIFFER)
                    .mend("write them on one of the two rows");
            }
            joined.add(next);
            self.add_strikes(&mut joined, row, next, diagnostics);
        }
        Some(joined.finish(self.kit))
    }

    /// Adds the strikes of one more row; an instrument that is there already is struck once.
    fn add_strikes(
        &mut self,
        joined: &mut JoinedHit<'a>,
        row: &'a str,
        next: &RowHit,
        diagnostics: &mut Diagnostics,
    ) {
        let continued = joined.hit.continued;
        for strike in &next.cell.strikes {
            let mut strikes = joined.strikes.iter_mut();
            let known = strikes.find(|(known, ..)| known.instrument == strike.instrument);
            let Some((known, _, other_row)) = known else {
                joined.strikes.push((*strike, next.span, row));
                continue;
            };
            known.accent = known.accent.max(strike.accent);
            known.ghost &= strike.ghost;
            known.choked |= strike.choked;
            if continued || self.reported.contains(&(row, *other_row)) {
                continue;
            }
            self.reported.push((row, *other_row));
            let name = self.kit.get(strike.instrument).map_or("", |i| i.name.as_str());
            let place = self.place(row);
            let message =
                format!("{place}: the row `{other_row}` strikes `{name}` at the same time");
            diagnostics
                .warning(next.span, message)
                .code(codes::ROWS_STRIKE_ONE)
                .mend("write the hit in one of the two rows");
        }
    }

    fn place<'r>(&self, row: &'r str) -> RowBar<'r> {
        RowBar { row, bar: self.bar }
    }
}

/// The limb that holds a hit whose end is written.
fn held_by(hit: &RowHit) -> Option<Limb> {
    hit.cell.strikes.first().filter(|_| hit.held).map(|strike| strike.limb)
}

/// The part of a hit that one limb plays; ornaments stay with the hands where both play it.
pub(crate) fn part(hit: &RowHit, limb: Option<Limb>) -> Option<RowHit> {
    let Some(limb) = limb else { return Some(hit.clone()) };
    let strikes: LimbStrikes =
        hit.cell.strikes.iter().filter(|b| b.limb == limb).copied().collect();
    if strikes.is_empty() {
        // A beat slash is of the hands.
        let slash = hit.cell.strikes.is_empty() && limb == Limb::Hands;
        return slash.then(|| hit.clone());
    }
    let mut part = hit.clone();
    if limb == Limb::Feet && strikes.len() < hit.cell.strikes.len() {
        part.cell.grace = Grace::default();
        part.cell.strokes = 0;
        part.cell.buzz = false;
        part.cell.touch.roll = None;
    }
    part.cell.strikes = strikes;
    Some(part)
}

//! Rods under hairpins and words with dashes: gaps are widened so that none is shorter than it may be, and dynamics keep
//! apart. A dynamic may stand between two columns, so that its rod takes a part of a gap.

use super::gaps::Gap;
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::columns::Column;
use crate::engrave::measure::dynamics::{LETTERS_GAP, PIN_GAP, glyphs, least_length, reach, width};
use crate::score::{Bar, Dynamic, DynamicKind, Time};

/// The least distance between two moments.
struct DynamicRod {
    from: Time,
    to: Time,
    length: f64,
}

/// Widens the gaps of a bar for its dynamics. What stands after a bar is asked for room in its own:
/// a hairpin that leaves a bar has its least length there, wherever lines end.
pub fn make_room(engraver: &Engraver<'_>, bar: &Bar, columns: &[Column], gaps: &mut [Gap]) {
    let sized = |dynamic: &Dynamic| {
        let glyphs = glyphs(&dynamic.kind);
        let half = width(engraver, &glyphs) / 2.0;
        SizedDynamic {
            at: dynamic.at,
            kind: dynamic.kind,
            half,
            ink: reach(engraver, &glyphs),
            least: least_length(engraver, dynamic.kind),
        }
    };
    let mut dynamics: Vec<SizedDynamic> = bar.dynamics.iter().map(sized).collect();
    let end = DynamicKind::End;
    dynamics.push(SizedDynamic {
        at: bar.length,
        kind: end,
        half: 0.0,
        ink: (0.0, 0.0),
        least: 0.0,
    });
    for (index, pair) in dynamics.windows(2).enumerate() {
        let before = index.checked_sub(1).and_then(|before| dynamics.get(before));
        for rod in rods(before.filter(|d| d.is_letters()), &pair[0], &pair[1]) {
            widen(bar, columns, gaps, &rod);
        }
    }
}

/// A dynamic with the room its letters take.
struct SizedDynamic {
    at: Time,
    kind: DynamicKind,
    /// Half its width.
    half: f64,
    /// The reach of its ink to both sides.
    ink: (f64, f64),
    /// The least length of a gradual change.
    least: f64,
}

impl SizedDynamic {
    fn is_letters(&self) -> bool {
        match self.kind {
            DynamicKind::Letters(_) => true,
            DynamicKind::Louder(_) | DynamicKind::Softer(_) | DynamicKind::End => false,
        }
    }
}

/// What a dynamic asks of the room up to the next; `letters` stand right before it.
fn rods(
    letters: Option<&SizedDynamic>,
    dynamic: &SizedDynamic,
    next: &SizedDynamic,
) -> Vec<DynamicRod> {
    let rod = |from: Time, length: f64| DynamicRod { from, to: next.at, length };
    let before = next.half + PIN_GAP;
    match dynamic.kind {
        DynamicKind::Letters(_) => {
            vec![rod(dynamic.at, dynamic.ink.1 + LETTERS_GAP + next.ink.0)]
        }
        DynamicKind::Louder(_) | DynamicKind::Softer(_) => {
            let least = dynamic.least + before;
            let after = letters.map(|letters| rod(letters.at, letters.half + PIN_GAP + least));
            after.into_iter().chain([rod(dynamic.at, least)]).collect()
        }
        DynamicKind::End => Vec::new(),
    }
}

/// Makes the least widths of the gaps under a rod add up to it, each in proportion to its time.
fn widen(bar: &Bar, columns: &[Column], gaps: &mut [Gap], rod: &DynamicRod) {
    let shares: Vec<f64> = (0..gaps.len()).map(|index| share(bar, columns, index, rod)).collect();
    let sum = |of: fn(&Gap) -> f64| -> f64 {
        gaps.iter().zip(&shares).map(|(gap, share)| of(gap) * share).sum()
    };
    let (want, ideal) = (rod.length - sum(|gap| gap.min), sum(|gap| gap.ideal));
    if want <= 0.0 || ideal <= 0.0 {
        return;
    }
    for (gap, share) in gaps.iter_mut().zip(shares) {
        if share > 0.0 {
            gap.min += want * gap.ideal / ideal;
        }
    }
}

/// How much of a gap lies under a rod, 0 to 1.
fn share(bar: &Bar, columns: &[Column], gap: usize, rod: &DynamicRod) -> f64 {
    let Some(start) = columns.get(gap).map(|column| column.at) else { return 0.0 };
    let end = columns.get(gap + 1).map_or(bar.length, |next| next.at);
    let (from, to) = (rod.from.max(start), rod.to.min(end));
    match from < to {
        true => (to - from).as_f64() / (end - start).as_f64(),
        false => 0.0,
    }
}

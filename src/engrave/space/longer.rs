//! Longer notes get more room than shorter ones, however tight the line is.

use super::gaps::Gap;
use crate::engrave::measure::columns::Column;
use crate::score::{Bar, Time};

/// The least factor between the room of neighbours of which one lasts twice as long. At about a
/// quarter the eye still tells a doubling (Gould, *Behind Bars*, "Spacing", gives 1.4 to 1.6 for an
/// open line, from memory; the floor has no source).
const LEAST_DOUBLING: f64 = 1.25;

/// Widens what is held open by its time alone where a shorter neighbour is held open wider by ink or
/// syllables.
pub fn keep_longer_wider(bar: &Bar, columns: &[Column], gaps: &mut [Gap]) {
    let starts = columns.iter().map(|column| column.at);
    let ends = columns.iter().skip(1).map(|column| column.at).chain([bar.length]);
    let times: Vec<Time> = starts.zip(ends).map(|(start, end)| end - start).collect();
    let mut shortest_first: Vec<(usize, Time)> = times.iter().copied().enumerate().collect();
    shortest_first.sort_by_key(|(_, time)| *time);
    for (index, own) in shortest_first {
        let Some(min) = gaps.get(index).map(|gap| gap.min) else { continue };
        for other in [index.checked_sub(1), Some(index + 1)].into_iter().flatten() {
            let (Some(theirs), Some(gap)) = (times.get(other), gaps.get_mut(other)) else {
                continue;
            };
            if *theirs > own && own > Time::ZERO {
                let doublings = (theirs.as_f64() / own.as_f64()).log2();
                gap.min = gap.min.max(min * LEAST_DOUBLING.powf(doublings));
            }
        }
    }
}

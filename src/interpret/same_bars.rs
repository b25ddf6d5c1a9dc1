//! Bars again: which of them a repeat sign can stand for.

use crate::score::{Again, Bar, Closing};

/// Takes the repeat sign from bars for which it cannot stand: a sign for several bars stands for all
/// of them or for none, with plain barlines between them.
pub(crate) fn keep_true_repeats(bars: &mut [Bar]) {
    let mut index = 0;
    while index < bars.len() {
        let count = bars[index].again.map_or(1, |again| usize::from(again.bars));
        let whole = bars.get(index..index + count).is_some_and(|group| {
            group.iter().enumerate().all(|(part, bar)| {
                let expected = Again { bars: count as u8, part: part as u8 };
                let open = part + 1 == count || bar.closing == Closing::Single;
                let back = (index + part).checked_sub(count).and_then(|back| bars.get(back));
                bar.again == Some(expected)
                    && open
                    && (part == 0 || !bar.repeat_start)
                    && back.is_some_and(|back| bar.repeats(back))
            })
        });
        if whole {
            index += count;
        } else {
            bars[index].again = None;
            index += 1;
        }
    }
}

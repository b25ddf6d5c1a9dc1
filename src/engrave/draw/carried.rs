//! What comes to a line of music from the lines before it, found for all lines in one pass over the bars.

use super::over::ending_bars::{EndingBars, ending_from};
use crate::engrave::space::lines::SetLine;
use crate::score::{Closing, Dynamic, Mark, PlayerPart};

/// What began before a line and may reach into it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Carried<'a> {
    /// The last mark before it that says the tempo.
    pub tempo: Option<&'a Mark>,
    /// The last dynamic before it.
    pub dynamic: Option<&'a Dynamic>,
    /// The last ending before it with nothing after it that closes one.
    pub ending: Option<EndingBars<'a>>,
    /// The last bar of the whole part that has a dynamic.
    pub last_dynamic: Option<usize>,
}

/// What comes to each line of a part.
pub fn carried<'a>(part: &'a PlayerPart, lines: &[SetLine]) -> Vec<Carried<'a>> {
    let last_dynamic = part.bars.iter().rposition(|bar| !bar.dynamics.is_empty());
    let mut now = Carried { last_dynamic, ..Carried::default() };
    let mut bars = part.bars.iter().enumerate().peekable();
    let mut to_line = |line: &SetLine| {
        while let Some((index, bar)) = bars.next_if(|(index, _)| *index < line.from) {
            let tempo = bar.marks.iter().rev().find(|mark| mark.kind.says_tempo());
            now.tempo = tempo.or(now.tempo);
            now.dynamic = bar.dynamics.last().or(now.dynamic);
            now.ending = match bar.closing {
                Closing::Single => ending_from(part, index).or(now.ending),
                Closing::Double | Closing::Repeat { .. } => None,
            };
        }
        now
    };
    lines.iter().map(&mut to_line).collect()
}

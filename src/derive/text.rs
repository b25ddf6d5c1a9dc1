//! Phrases as text, for those who want to read what was made: `expand` and `explain`.

use super::cells::{Cell, Finder};
use super::phrase::{Letter, Measure, Phrase};
use super::row::{self, Content, Row, Set, TooFine};
use crate::interpret::deal::{Blow, Struck};
use crate::interpret::keys::KeyLine;
use crate::score::kit::Limb;
use crate::score::meter::MeterSign;
use crate::score::{Accent, BlockWord, Closing, Kit, MarkKind, Meter, RowWord, Time, WordsRow};
use std::fmt::Write;
use std::ops::Range;

/// A block as plain text.
#[derive(Clone, Debug)]
pub(crate) struct Plain {
    pub(crate) word: BlockWord,
    pub(crate) name: Option<String>,
    pub(crate) title: Option<String>,
    pub(crate) keys: Vec<KeyLine>,
    pub(crate) rows: Vec<String>,
}

impl Plain {
    /// The text, with a line end after each line.
    pub(crate) fn text(&self) -> String {
        let mut text = self.word.as_str().to_owned();
        if let Some(name) = &self.name {
            let _ = write!(text, " {name}");
        }
        if let Some(title) = &self.title {
            let _ = write!(text, " \"{title}\"");
        }
        text.push('\n');
        for line in &self.keys {
            let _ = writeln!(text, "  {}: {}", line.name(), line.value);
        }
        for row in &self.rows {
            let _ = writeln!(text, "  {row}");
        }
        text
    }
}

/// The rows of a phrase, one line each, with `--` and a new `time:` where the time changes. With
/// `full_rests` a hit that ends with its cell says nothing of its end.
pub(crate) fn rows(
    phrase: &Phrase,
    kit: &Kit,
    full_rests: bool,
    finder: &mut Finder,
) -> Result<Vec<String>, TooFine> {
    let rows = row::rows(phrase, kit);
    let mut writer = Writer { phrase, kit, full_rests, finder };
    let mut lines = Vec::new();
    for set in row::sets(phrase) {
        if set.bars.start > 0 {
            lines.push("--".to_owned());
            let meter = phrase.bars.get(set.bars.start).map(|bar| signature(&bar.meter));
            lines.push(format!("time: {}", meter.unwrap_or_default()));
        }
        for row in set.rows(&rows) {
            lines.push(writer.line(row, &set)?);
        }
        lines.extend(marks(phrase.bars.get(set.bars.clone()).unwrap_or_default()));
    }
    Ok(lines)
}

/// A time signature as a key says it.
pub(crate) fn signature(meter: &Meter) -> String {
    match meter.sign {
        MeterSign::Common => "common".to_owned(),
        MeterSign::Cut => "cut".to_owned(),
        MeterSign::Numbers => {
            let upper: Vec<String> = meter.upper.iter().map(u32::to_string).collect();
            format!("{}/{}", upper.join("+"), meter.lower)
        }
    }
}

struct Writer<'a> {
    phrase: &'a Phrase,
    kit: &'a Kit,
    full_rests: bool,
    finder: &'a mut Finder,
}

impl Writer<'_> {
    /// One row over the bars of a set.
    fn line(&mut self, row: &Row, set: &Set) -> Result<String, TooFine> {
        let music = row.is_music();
        let total = self.phrase.bars.len();
        let mut at = set.start;
        let mut text = String::new();
        for index in set.bars.clone() {
            let Some(bar) = self.phrase.bars.get(index) else { continue };
            if bar.repeat_start && music {
                text.push_str("|: ");
            }
            if bar.same && index > set.bars.start {
                text.push_str("% ");
            } else {
                let groups =
                    row::groups(self.phrase, row, (index, at), self.full_rests, self.finder)?;
                for group in groups {
                    self.cells(row, &group.cells, &mut text);
                    if group.beats > 1 {
                        let _ = write!(text, ":{}", group.beats);
                    }
                    text.push(' ');
                }
            }
            text.push_str(&barline(bar, (index + 1 == set.bars.end, index + 1 == total), music));
            at += bar.length;
        }
        Ok(format!("{:<6} {}", row.word().as_str(), text.trim_end()))
    }

    fn cells(&self, row: &Row, cells: &[Cell], text: &mut String) {
        for cell in cells {
            match (cell, &row.content) {
                (Cell::Hit(number), Content::Music(_, struck)) => {
                    text.extend(struck.get(*number).map(|struck| hit(struck, self.kit)));
                }
                (Cell::Hit(number), Content::Letters(_, letters)) => {
                    text.extend(letters.get(*number).map(|letter| stick(letter.as_ref())));
                }
                (Cell::Hold, _) => text.push('-'),
                (Cell::Tie, _) => text.push('_'),
                (Cell::Silence, _) => text.push('.'),
                (Cell::Split(inner), _) => {
                    text.push('[');
                    self.cells(row, inner, text);
                    text.push(']');
                }
            }
        }
    }
}

fn barline(bar: &Measure, (last_of_set, last): (bool, bool), music: bool) -> String {
    match bar.closing {
        _ if !music && last_of_set => String::new(),
        Closing::Repeat { times, counted } if music => {
            let times = if counted { format!(" x{times}") } else { String::new() };
            format!(":|{times} ")
        }
        Closing::Double if music && !last => "|| ".to_owned(),
        Closing::Single | Closing::Double | Closing::Repeat { .. } if last_of_set => String::new(),
        Closing::Single | Closing::Double | Closing::Repeat { .. } => "| ".to_owned(),
    }
}

/// What stands over the bars.
fn marks(bars: &[Measure]) -> Option<String> {
    let word = |bar: &Measure| match &bar.mark {
        Some(MarkKind::Ending(passes)) => {
            let numbers = passes.as_str().split(", ").map(|n| format!("{n}."));
            numbers.collect::<Vec<_>>().join(",")
        }
        Some(MarkKind::Number(number)) => format!("\"{number}\""),
        _ => ".".to_owned(),
    };
    bars.iter().any(|b| b.mark.is_some()).then(|| {
        let words: Vec<String> = bars.iter().map(word).collect();
        format!("{:<6} {}", RowWord::Words(WordsRow::Mark).as_str(), words.join(" | "))
    })
}

fn hit(struck: &Struck, kit: &Kit) -> String {
    let mut text = "'".repeat(struck.grace.into());
    let blows: Vec<String> = struck.blows.iter().map(|blow| blow_in(kit, blow)).collect();
    text.push_str(&blows.join("+"));
    text.push_str(&"/".repeat(struck.strokes.into()));
    if struck.buzz {
        text.push('~');
    }
    if let Some(strokes) = struck.touch.roll {
        let _ = write!(text, "{strokes}");
    }
    if struck.touch.staccato {
        text.push(',');
    }
    if struck.touch.tenuto {
        text.push('=');
    }
    if struck.blows.iter().any(|blow| blow.choked) {
        text.push('!');
    }
    text
}

/// One instrument of a hit; the half-open hi-hat has no letter, and its own row calls it `h`.
fn blow_in(kit: &Kit, blow: &Blow) -> String {
    let letter = kit.get(blow.instrument).and_then(|i| i.letter).unwrap_or('h');
    match (blow.ghost, blow.accent) {
        (true, _) => format!("({letter})"),
        (false, Accent::None) => letter.to_string(),
        (false, Accent::Accent) => letter.to_ascii_uppercase().to_string(),
        (false, Accent::Marcato) => format!("^{letter}"),
    }
}

fn stick(letter: Option<&Letter>) -> String {
    let Some(letter) = letter else { return "-".to_owned() };
    let grace = letter.grace.iter().map(|hand| hand.letter().to_ascii_lowercase());
    grace.chain([letter.hand.letter()]).collect()
}

/// The letters of some bars, of which the first begins at `start`, as the content of a `stick` row;
/// one after another, where their beats can't be written.
pub(crate) fn stick_row(
    phrase: &Phrase,
    kit: &Kit,
    start: Time,
    range: Range<usize>,
    finder: &mut Finder,
) -> String {
    let rows = row::rows(phrase, kit);
    let Some(row) = rows.iter().find(|row| row.word() == RowWord::Sticks(Limb::Hands)) else {
        return String::new();
    };
    let writer = Writer { phrase, kit, full_rests: false, finder };
    let mut at = start;
    let mut bars = Vec::new();
    for index in range {
        let end = at + phrase.bars.get(index).map_or(Time::ZERO, |bar| bar.length);
        let mut text = String::new();
        match row::groups(phrase, row, (index, at), false, writer.finder) {
            Ok(groups) => {
                for group in groups {
                    writer.cells(row, &group.cells, &mut text);
                    text.push(' ');
                }
            }
            Err(_) => {
                let first = row.times.partition_point(|t| t.at < at);
                let last = row.times.partition_point(|t| t.at < end);
                let hits: Vec<Cell> = (first..last).map(Cell::Hit).collect();
                for hit in hits {
                    writer.cells(row, &[hit], &mut text);
                    text.push(' ');
                }
            }
        }
        bars.push(text.trim_end().to_owned());
        at = end;
    }
    bars.join(" | ")
}

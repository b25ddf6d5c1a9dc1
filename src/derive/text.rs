//! Phrases as text, for those who want to read what was made: `expand` and `explain`.

use super::attached_text;
use super::cells::{Finder, RowCell};
use super::phrase::{Letter, Phrase};
use super::row::{self, PhraseRow, RowContent, Set, TooFine};
use crate::interpret::compose::BarFrame;
use crate::interpret::keys::KeySetting;
use crate::interpret::place::{CellHit, LimbStrike};
use crate::score::kit::Limb;
use crate::score::settings::PartSettings;
use crate::score::{
    Accent, Bar, BlockWord, Closing, Grace, GraceDrum, HitsRow, Kit, PlayerPart, RowWord, Time,
};
use std::fmt::Write;
use std::ops::Range;

/// A block as plain text.
#[derive(Clone, Debug)]
pub(crate) struct Plain {
    pub(crate) word: BlockWord,
    pub(crate) name: Option<String>,
    pub(crate) title: Option<String>,
    pub(crate) keys: Vec<KeySetting>,
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

/// The rows of a phrase, one line each, with `--` and a key where a key says something new. With
/// `full_rests` a hit that ends with its cell says nothing of its end.
pub(crate) fn rows(
    phrase: &Phrase,
    kit: &Kit,
    full_rests: bool,
    finder: &mut Finder,
) -> Result<Vec<String>, TooFine> {
    let rows = row::rows(phrase, kit);
    let mut writer = RowWriter { phrase, kit, full_rests, finder };
    let mut lines = Vec::new();
    for set in row::sets(phrase) {
        if set.bars.start > 0 {
            lines.push("--".to_owned());
            lines.extend(attached_text::keys(phrase, &set));
        }
        for row in set.rows(&rows) {
            lines.push(writer.line(row, &set)?);
        }
        lines.extend(band(phrase, &set, writer.finder)?);
        lines.extend(attached_text::rows(phrase, &set));
    }
    Ok(lines)
}

/// The row of what the band plays over the bars of a set, where it plays.
fn band(phrase: &Phrase, set: &Set, finder: &mut Finder) -> Result<Option<String>, TooFine> {
    let band = phrase.attached.small.iter().filter(|(_, small)| small.player.is_none());
    let mut small = band.skip_while(|(at, _)| *at < set.start).peekable();
    let Some((_, any)) = small.peek().filter(|(at, _)| *at < set.end) else { return Ok(None) };
    let mut at = set.start;
    let bars = phrase.bars.get(set.bars.clone()).unwrap_or_default().iter().map(|bar| {
        let own = small.next_if(|(start, _)| *start == at);
        at += bar.length;
        match own.filter(|(_, own)| own.bar.length == bar.length) {
            Some((_, own)) => own.bar.clone(),
            None => {
                let (meter, offset, length) = (bar.meter.clone(), bar.offset, bar.length);
                Bar { meter, offset, length, ..any.bar.silent() }
            }
        }
    });
    let part = PlayerPart::alone(PartSettings::default(), any.kit.clone(), bars.collect());
    let notes = Phrase::of(&part, &any.kit).unwrap_or_default();
    let rows = row::rows(&notes, &any.kit);
    let Some(row) = rows.iter().find(|row| row.is_music()) else { return Ok(None) };
    let (start, end) = (Time::ZERO, notes.length());
    let whole = Set { bars: 0..notes.bars.len(), changes_time: false, start, end };
    let mut writer = RowWriter { phrase: &notes, kit: &any.kit, full_rests: false, finder };
    let line = writer.line(row, &whole)?;
    let cells = line.split_once(' ').map_or("", |(_, cells)| cells.trim_start());
    Ok(Some(format!("{:<6} {cells}", HitsRow::Band.as_str())))
}

struct RowWriter<'a> {
    phrase: &'a Phrase,
    kit: &'a Kit,
    full_rests: bool,
    finder: &'a mut Finder,
}

impl RowWriter<'_> {
    /// One row over the bars of a set.
    fn line(&mut self, row: &PhraseRow, set: &Set) -> Result<String, TooFine> {
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
                let goes_on = groups.last().is_some_and(|group| group.before_line.is_some());
                for group in groups {
                    let (before, after) =
                        group.cells.split_at(group.before_line.unwrap_or(group.cells.len()));
                    self.cells(row, before, &mut text);
                    if group.before_line.is_some() {
                        text.push('|');
                        self.cells(row, after, &mut text);
                    }
                    // Letters follow their hits and are not spread.
                    if group.beats > 1 && music {
                        let _ = write!(text, ":{}", group.beats);
                    }
                    text.push(' ');
                }
                if goes_on {
                    at += bar.length;
                    continue;
                }
            }
            text.push_str(&barline(bar, (index + 1 == set.bars.end, index + 1 == total), music));
            at += bar.length;
        }
        Ok(format!("{:<6} {}", row.word().as_str(), text.trim_end()))
    }

    fn cells(&self, row: &PhraseRow, cells: &[RowCell], text: &mut String) {
        for cell in cells {
            match (cell, &row.content) {
                (RowCell::Hit(number), RowContent::Music(_, hits)) => {
                    text.extend(hits.get(*number).map(|own| hit(own, self.kit)));
                }
                (RowCell::Hit(number), RowContent::Letters(_, letters)) => {
                    text.extend(letters.get(*number).map(|letter| stick(letter.as_ref())));
                }
                (RowCell::Hold, _) => text.push('-'),
                (RowCell::Tie, _) => text.push('_'),
                (RowCell::Silence, _) => text.push('.'),
                (RowCell::Split(inner), _) => {
                    text.push('[');
                    self.cells(row, inner, text);
                    text.push(']');
                }
            }
        }
    }
}

fn barline(bar: &BarFrame, (last_of_set, last): (bool, bool), music: bool) -> String {
    if last_of_set && !music {
        return String::new();
    }
    match bar.closing {
        Closing::Repeat { times, counted } if music => {
            let times = if counted { format!(" x{times}") } else { String::new() };
            format!(":|{times} ")
        }
        Closing::Double if music && !last => "|| ".to_owned(),
        Closing::Single | Closing::Double | Closing::Repeat { .. } if last_of_set => String::new(),
        Closing::Single | Closing::Double | Closing::Repeat { .. } => "| ".to_owned(),
    }
}

/// Grace notes: in braces, where each is on an instrument with a letter.
fn grace(grace: Grace, kit: &Kit) -> String {
    let letter = |drum: &GraceDrum| match drum {
        GraceDrum::Same => None,
        GraceDrum::Other(id) => kit.get(*id)?.letter,
    };
    let letters: Option<String> = grace.drums().iter().map(letter).collect();
    match letters.filter(|letters| !letters.is_empty()) {
        Some(letters) => format!("{{{letters}}}"),
        None => "'".repeat(grace.count().into()),
    }
}

fn hit(hit: &CellHit, kit: &Kit) -> String {
    if hit.strikes.is_empty() {
        return "/".to_owned();
    }
    let mut text = grace(hit.grace, kit);
    let strikes: Vec<String> = hit.strikes.iter().map(|strike| strike_in(kit, strike)).collect();
    text.push_str(&strikes.join("+"));
    text.push_str(&"/".repeat(hit.strokes.into()));
    if hit.buzz {
        text.push('~');
    }
    if let Some(strokes) = hit.touch.roll {
        let _ = write!(text, "{strokes}");
    }
    if hit.touch.staccato {
        text.push(',');
    }
    if hit.touch.tenuto {
        text.push('=');
    }
    if hit.touch.unclear {
        text.push('?');
    }
    if hit.strikes.iter().any(|strike| strike.choked) {
        text.push('!');
    }
    text
}

/// One instrument of a hit; the half-open hi-hat has no letter, and its own row calls it `h`.
fn strike_in(kit: &Kit, strike: &LimbStrike) -> String {
    let letter = kit.get(strike.instrument).and_then(|i| i.letter).unwrap_or('h');
    let ghost =
        |letter: char| if strike.ghost { format!("({letter})") } else { letter.to_string() };
    match strike.accent {
        Accent::None => ghost(letter),
        Accent::Accent => ghost(letter.to_ascii_uppercase()),
        Accent::Marcato => format!("^{}", ghost(letter)),
    }
}

fn stick(letter: Option<&Letter>) -> String {
    let Some(letter) = letter else { return "-".to_owned() };
    let grace = letter.grace.iter().map(|hand| hand.letter().to_ascii_lowercase());
    let other = letter.other.map(|hand| format!("({})", hand.letter())).unwrap_or_default();
    grace.chain([letter.hand.letter()]).chain(other.chars()).collect()
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
    let writer = RowWriter { phrase, kit, full_rests: false, finder };
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
                let hits: Vec<RowCell> = (first..last).map(RowCell::Hit).collect();
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

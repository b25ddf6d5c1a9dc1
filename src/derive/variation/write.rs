//! A phrase as plain rows.

use crate::derive::variation::phrase::{Measure, Note, Phrase};
use crate::score::Closing;
use crate::score::kit::Limb;
use crate::score::meter::{MeterKind, MeterSign};
use crate::score::{Accent, Hand, Touch};
use crate::score::{Kit, Meter, Time};
use num_rational::Ratio;

/// Most parts of a beat or of a cell that is split.
const MOST_PARTS: i64 = 12;
/// How deep splits stand; the language allows three.
const DEPTH: usize = 2;

/// What a pair of brackets costs a reader, in cells.
const BRACKETS: usize = 3;
/// Cells of a beat that are read at a glance, and what it costs where there are more.
const MOST_READ: i64 = 6;
const TOO_MANY: usize = 6;

/// Where a phrase can't be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct TooFine {
    /// Bar, from 1.
    pub(crate) bar: usize,
    /// Beat or group of the bar, from 1.
    pub(crate) beat: usize,
}

/// A row to be: what each cell says, by time.
struct Row {
    name: String,
    cells: Vec<Said>,
}

#[derive(Clone)]
struct Said {
    at: Time,
    until: Option<Time>,
    tied: bool,
    text: String,
}

/// The rows of a phrase, one line each, with `--` and a new `time:` where the time changes. With
/// `full_rests` a hit that ends with its cell says nothing of its end.
pub(crate) fn rows(phrase: &Phrase, kit: &Kit, full_rests: bool) -> Result<Vec<String>, TooFine> {
    let rows = said(phrase, kit);
    let mut lines = Vec::new();
    let mut first = 0;
    while first < phrase.bars.len() {
        let meter = &phrase.bars[first].meter;
        let same = phrase.bars[first..].iter().take_while(|b| b.meter == *meter).count();
        if first > 0 {
            lines.push("--".to_owned());
            lines.push(format!("time: {}", signature(meter)));
        }
        lines.extend(set(phrase, &rows, first..first + same, full_rests)?);
        first += same;
    }
    Ok(lines)
}

/// The letters of some bars, of which the first begins at `start`, as the content of a `stick` row; one after another, where their beats
/// can't be written.
pub(crate) fn stick_row(phrase: &Phrase, start: Time, range: std::ops::Range<usize>) -> String {
    let end = start + phrase.bars[range.clone()].iter().map(|b| b.length).sum();
    let first = phrase.notes.partition_point(|n| n.at < start);
    let own = phrase.notes[first..].iter().take_while(|n| n.at < end);
    let own = own.filter(|n| n.limb == Limb::Hands);
    let cells: Vec<Said> =
        own.map(|n| Said { at: n.at, until: None, tied: false, text: stick(n) }).collect();
    let mut at = start;
    let bars = phrase.bars[range].iter().map(|bar| {
        let to = at + bar.length;
        let from = phrase.spans.partition_point(|s| s.start < at);
        let spans = phrase.spans[from..].iter().take_while(|s| s.start < to);
        let groups: Option<Vec<String>> =
            spans.map(|s| group(&cells, s.start, s.length, false)).collect();
        let plain = || {
            let first = cells.partition_point(|c| c.at < at);
            cells[first..].iter().take_while(|c| c.at < to).map(|c| c.text.clone()).collect()
        };
        let text = groups.unwrap_or_else(plain).join(" ");
        at = to;
        text
    });
    bars.collect::<Vec<_>>().join(" | ")
}

fn set(
    phrase: &Phrase,
    rows: &[Row],
    range: std::ops::Range<usize>,
    full_rests: bool,
) -> Result<Vec<String>, TooFine> {
    let start: Time = phrase.bars[..range.start].iter().map(|b| b.length).sum();
    let bars = &phrase.bars[range.clone()];
    let end = start + bars.iter().map(|b| b.length).sum();
    let mut lines = Vec::new();
    for row in rows {
        let music = !matches!(row.name.as_str(), "stick" | "pedal");
        let sounds = row
            .cells
            .iter()
            .any(|c| c.at < end && c.until.unwrap_or(c.at) >= start && c.at >= start);
        if !sounds
            && (!music
                || rows
                    .iter()
                    .filter(|r| r.name != row.name)
                    .any(|r| r.cells.iter().any(|c| c.at >= start && c.at < end)))
        {
            continue;
        }
        let mut at = start;
        let mut text = String::new();
        for (index, bar) in bars.iter().enumerate() {
            let to = at + bar.length;
            if bar.repeat_start && music {
                text.push_str("|: ");
            }
            if bar.same && index > 0 {
                text.push_str("% ");
                text.push_str(&barline(bar, index + 1 == bars.len(), music));
                at = to;
                continue;
            }
            let from = phrase.spans.partition_point(|s| s.start < at);
            let spans = phrase.spans[from..].iter().take_while(|s| s.start < to);
            for (beat, span) in spans.enumerate() {
                let Some(group) = group(&row.cells, span.start, span.length, full_rests) else {
                    return Err(TooFine { bar: range.start + index + 1, beat: beat + 1 });
                };
                text.push_str(&group);
                if span.beats > 1 {
                    text.push_str(&format!(":{}", span.beats));
                }
                text.push(' ');
            }
            text.push_str(&barline(bar, index + 1 == bars.len(), music));
            at = to;
        }
        lines.push(format!("{:<6} {}", row.name, text.trim_end()));
    }
    lines.extend(marks(bars));
    Ok(lines)
}

fn barline(bar: &Measure, last: bool, music: bool) -> String {
    match bar.closing {
        _ if !music && last => String::new(),
        Closing::Repeat { times, counted } if music => {
            let times = if counted { format!(" x{times}") } else { String::new() };
            format!(":|{times} ")
        }
        Closing::Double if music && !last => "|| ".to_owned(),
        _ if last => String::new(),
        _ => "| ".to_owned(),
    }
}

/// The words over the bars.
fn marks(bars: &[Measure]) -> Option<String> {
    bars.iter().any(|b| b.mark.is_some()).then(|| {
        let words: Vec<&str> = bars.iter().map(|b| b.mark.as_deref().unwrap_or(".")).collect();
        format!("mark   {}", words.join(" | "))
    })
}

/// A time signature as a key says it.
pub(crate) fn signature(meter: &Meter) -> String {
    match meter.sign {
        MeterSign::Common => return "common".to_owned(),
        MeterSign::Cut => return "cut".to_owned(),
        MeterSign::Numbers => {}
    }
    let upper: Vec<String> = meter.upper.iter().map(u32::to_string).collect();
    debug_assert!(meter.kind == MeterKind::Additive || upper.len() == 1);
    format!("{}/{}", upper.join("+"), meter.lower)
}

/// What each row says, row by row.
fn said(phrase: &Phrase, kit: &Kit) -> Vec<Row> {
    let mut rows = Vec::new();
    let limbs: &[(&str, &[Limb])] = if phrase.apart {
        &[("hands", &[Limb::Hands]), ("feet", &[Limb::Feet])]
    } else {
        &[("play", &[Limb::Hands, Limb::Feet])]
    };
    for (name, limbs) in limbs {
        let cells = hits(phrase, limbs, |note, text| lettered(note, kit, text));
        rows.push(Row { name: (*name).to_owned(), cells });
    }
    let half = hits(phrase, &[Limb::Hands, Limb::Feet], |note, text| unlettered(note, kit, text));
    if !half.is_empty() {
        rows.push(Row { name: "hat".to_owned(), cells: half });
    }
    for (name, limb) in [("stick", Limb::Hands), ("pedal", Limb::Feet)] {
        let notes = phrase.notes.iter().filter(|n| n.limb == limb);
        if notes.clone().all(|n| n.letter.is_none()) {
            continue;
        }
        let cells =
            notes.map(|n| Said { at: n.at, until: None, tied: false, text: stick(n) }).collect();
        rows.push(Row { name: name.to_owned(), cells });
    }
    rows.retain(|row| !row.cells.is_empty());
    if rows.is_empty() {
        rows.push(Row { name: "play".to_owned(), cells: Vec::new() });
    }
    rows
}

/// The hits of some limbs, those at one time joined.
fn hits(phrase: &Phrase, limbs: &[Limb], text: impl Fn(&Note, &mut Vec<String>)) -> Vec<Said> {
    let mut cells: Vec<Said> = Vec::new();
    let notes: Vec<&Note> = phrase.notes.iter().filter(|n| limbs.contains(&n.limb)).collect();
    let mut rest = notes.as_slice();
    while let Some(first) = rest.first() {
        let together = rest.iter().take_while(|n| n.at == first.at).count();
        let (now, later) = rest.split_at(together);
        rest = later;
        let mut parts = Vec::new();
        for note in now {
            text(note, &mut parts);
        }
        if parts.is_empty() {
            continue;
        }
        let most = |f: fn(&Note) -> u8| now.iter().map(|n| f(n)).max().unwrap_or(0);
        let mut said = "'".repeat(most(|n| n.grace).into());
        said.push_str(&parts.join("+"));
        said.push_str(&"/".repeat(most(|n| n.strokes).into()));
        if now.iter().any(|n| n.buzz) && most(|n| n.strokes) == 0 {
            said.push('~');
        }
        let touch = now.iter().map(|n| n.touch).fold(Touch::default(), Touch::with);
        let rolled = said.ends_with(['/', '~']);
        if let Some(strokes) = touch.roll.filter(|_| rolled) {
            said.push_str(&strokes.to_string());
        }
        if touch.staccato {
            said.push(',');
        }
        if touch.tenuto {
            said.push('=');
        }
        if now.iter().any(|n| n.blows.iter().any(|b| b.choked)) {
            said.push('!');
        }
        cells.push(Said {
            at: first.at,
            until: now.iter().filter_map(|n| n.until).max(),
            tied: now.iter().any(|n| n.tied),
            text: said,
        });
    }
    let starts: Vec<Time> = cells.iter().map(|c| c.at).collect();
    for cell in &mut cells {
        // Only a hit that another follows at once can be tied.
        cell.tied &= cell.until.is_some_and(|u| starts.binary_search(&u).is_ok());
        let next = starts.get(starts.partition_point(|s| *s <= cell.at));
        cell.until = match (cell.until, next) {
            (Some(until), Some(next)) => Some(until.min(*next)),
            (until, _) => until,
        };
    }
    cells
}

fn lettered(note: &Note, kit: &Kit, parts: &mut Vec<String>) {
    for blow in &note.blows {
        let Some(letter) = kit.get(blow.instrument).and_then(|i| i.letter) else { continue };
        parts.push(match (blow.ghost, blow.accent) {
            (true, _) => format!("({letter})"),
            (false, Accent::None) => letter.to_string(),
            (false, Accent::Accent) => letter.to_ascii_uppercase().to_string(),
            (false, Accent::Marcato) => format!("^{letter}"),
        });
    }
}

/// The half-open hi-hat, which only a `hat` row can name.
fn unlettered(note: &Note, kit: &Kit, parts: &mut Vec<String>) {
    for blow in &note.blows {
        if kit.get(blow.instrument).is_some_and(|i| i.letter.is_none()) {
            parts.push(match blow.accent {
                Accent::None => "h".to_owned(),
                Accent::Accent => "H".to_owned(),
                Accent::Marcato => "^h".to_owned(),
            });
        }
    }
}

fn stick(note: &Note) -> String {
    let Some(letter) = &note.letter else { return "-".to_owned() };
    let name = |hand: Hand| match hand {
        Hand::Right => 'R',
        Hand::Left => 'L',
        Hand::Both => 'B',
    };
    let mut text: String =
        letter.grace.iter().map(|hand| name(*hand).to_ascii_lowercase()).collect();
    text.push(name(letter.hand));
    text
}

/// The cells of a stretch of time: as few as say where everything begins and ends.
fn group(cells: &[Said], start: Time, length: Time, full_rests: bool) -> Option<String> {
    let here = cells.partition_point(|c| c.at < start);
    let mut inside: Vec<Said> = Vec::new();
    // The last hit before may go on into this stretch.
    if let Some(before) = here.checked_sub(1).and_then(|i| cells.get(i)) {
        inside.push(before.clone());
    }
    inside.extend(cells[here..].iter().take_while(|c| c.at < start + length).cloned());
    let stretch = Stretch { cells: &inside, full_rests };
    stretch.write(start, length, DEPTH, usize::MAX).map(|(text, _)| text)
}

struct Stretch<'a> {
    cells: &'a [Said],
    full_rests: bool,
}

impl Stretch<'_> {
    /// The text of a stretch that is easiest to read, and how hard that is: less than `limit`. Equal
    /// cells are tried first, since what they cost bounds the search for brackets.
    fn write(
        &self,
        start: Time,
        length: Time,
        depth: usize,
        limit: usize,
    ) -> Option<(String, usize)> {
        let mut best: Option<(String, usize)> = None;
        let mut most = limit;
        for depth in if depth > 0 { vec![0, depth] } else { vec![0] } {
            for parts in 1..=MOST_PARTS {
                // Every part costs something.
                if usize::try_from(parts).is_ok_and(|parts| parts >= most) {
                    break;
                }
                if let Some((text, count)) = self.split(start, length, parts, depth, most) {
                    most = count;
                    best = Some((text, count));
                }
            }
        }
        best
    }

    /// The text of so many parts, where it costs less than `limit`.
    fn split(
        &self,
        start: Time,
        length: Time,
        parts: i64,
        depth: usize,
        limit: usize,
    ) -> Option<(String, usize)> {
        let cell = length / parts;
        let mut text = String::new();
        let mut count = if parts > MOST_READ { TOO_MANY } else { 0 };
        for index in 0..parts {
            let at = start + cell * index;
            if let Some(plain) = self.plain(at, cell) {
                text.push_str(&plain);
                count += 1;
            } else if depth > 0 && parts > 1 {
                let room = limit.checked_sub(count + BRACKETS)?;
                let (inner, cells) = self.write(at, cell, depth - 1, room)?;
                text.push('[');
                text.push_str(&inner);
                text.push(']');
                count += cells + BRACKETS;
            } else {
                return None;
            }
            if count >= limit {
                return None;
            }
        }
        Some((text, count))
    }

    /// A cell that nothing begins or ends inside of.
    fn plain(&self, at: Time, cell: Time) -> Option<String> {
        let end = at + cell;
        let inside = |t: Time| t > at && t < end;
        if self.cells.iter().any(|c| inside(c.at) || c.until.is_some_and(inside)) {
            return None;
        }
        if let Some(hit) = self.cells.iter().find(|c| c.at == at) {
            let pinned = hit.until.is_some_and(|until| until <= end);
            let said = !pinned || (self.full_rests && !hit.tied);
            return said.then(|| hit.text.clone());
        }
        let held = self.cells.iter().find(|c| c.at < at && c.until.is_some_and(|u| u >= end));
        Some(match held {
            Some(hit) if hit.tied && hit.until == Some(end) => "_".to_owned(),
            Some(_) => "-".to_owned(),
            None => ".".to_owned(),
        })
    }
}

/// How often a cell goes into a time, for words such as `sixteenth`.
pub(crate) fn cell_name(cell: Time, beat: Time) -> String {
    let name = |t: Time| match (t.numerator(), t.denominator()) {
        (1, 2) => Some("half"),
        (1, 4) => Some("quarter"),
        (1, 8) => Some("eighth"),
        (1, 16) => Some("sixteenth"),
        (1, 32) => Some("thirty-second"),
        _ => None,
    };
    if let Some(name) = name(cell) {
        return name.to_owned();
    }
    match beat.ratio(cell) {
        r if r == Ratio::from_integer(3) => "triplet note".to_owned(),
        r if r == Ratio::from_integer(5) => "quintuplet note".to_owned(),
        r if r == Ratio::from_integer(6) => "sextuplet note".to_owned(),
        r if r == Ratio::from_integer(7) => "septuplet note".to_owned(),
        _ => "cell".to_owned(),
    }
}

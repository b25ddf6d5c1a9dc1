//! What hangs on the notes of a phrase as text: rows of words, and the keys of a set.

use super::attached::{KeyMark, PLAIN_SWING, said_by_key};
use super::phrase::Phrase;
use super::row::Set;
use super::signature::signature;
use crate::interpret::compose::BarFrame;
use crate::interpret::ruler::Ruler;
use crate::score::dynamic::GradualSign;
use crate::score::mark::{
    Back, Direction, FeelMark, FormMark, LayoutMark, NoteMark, PhraseMark, TempoChange, TempoMark,
    Until,
};
use crate::score::settings::{Swing, Tempo};
use crate::score::{DynamicKind, MarkKind, RowWord, Time, WordsRow};
use crate::syntax::limits::SPREAD_DIVISORS;
use num_rational::Ratio;

/// The rows of words of the bars of a set, one line each.
pub(crate) fn rows(phrase: &Phrase, set: &Set) -> Vec<String> {
    let own = |at: Time| set.start <= at && at < set.end;
    let words = phrase.attached.words.iter().filter(|(at, _)| own(*at));
    let words: Vec<Said> = words.map(|(at, text)| (*at, quoted(text))).collect();
    let dynamics = phrase.attached.dynamics.iter().filter(|(at, _)| own(*at));
    let dynamics: Vec<Said> = dynamics.map(|(at, kind)| (*at, dynamic(*kind).to_owned())).collect();
    let marks = phrase.attached.marks.iter().filter(|(at, _)| own(*at));
    let marks: Vec<Said> = marks
        .filter(|(at, kind)| !(*at == set.start && said_by_key(kind).is_some()))
        .map(|(at, kind)| (*at, mark(kind)))
        .collect();
    let mut lines = Vec::new();
    lines.extend(line(WordsRow::Dyn, bars(phrase, set, &dynamics, by_beats)));
    lines.extend(line(
        WordsRow::Say,
        bars(phrase, set, &words, |_, at, bar, said| by_hits(phrase, (at, at + bar.length), said)),
    ));
    lines.extend(line(WordsRow::Mark, bars(phrase, set, &marks, by_beats)));
    let cues = phrase.attached.cues.iter().filter(|(at, _)| own(*at));
    let cues: Vec<Said> = cues.map(|(at, player)| (*at, quoted(player))).collect();
    lines.extend(line(WordsRow::Cue, bars(phrase, set, &cues, by_beats)));
    lines
}

/// What is said at a time.
type Said = (Time, String);

/// A row of bars; nothing where no bar says anything. What is silent up to the end is left out.
fn line(row: WordsRow, mut bars: Vec<String>) -> Option<String> {
    while bars.last().is_some_and(|bar| bar == ".") {
        bars.pop();
    }
    let text = bars.join(" | ");
    (!bars.is_empty()).then(|| format!("{:<6} {text}", RowWord::Words(row).as_str()))
}

/// Each bar of a set as text.
fn bars(
    phrase: &Phrase,
    set: &Set,
    said: &[Said],
    lay: impl Fn(&Ruler, Time, &BarFrame, &[Said]) -> String,
) -> Vec<String> {
    let mut at = set.start;
    let bars = phrase.bars.get(set.bars.clone()).unwrap_or_default();
    let texts = bars.iter().map(|bar| {
        let first = said.partition_point(|(time, _)| *time < at);
        let last = said.partition_point(|(time, _)| *time < at + bar.length);
        let own = said.get(first..last).unwrap_or_default();
        let text = match own {
            [] => ".".to_owned(),
            _ => lay(&Ruler::new(&bar.meter), at, bar, own),
        };
        at += bar.length;
        text
    });
    texts.collect()
}

/// What is said in a bar that begins at a time, a group for each beat; what stands inside a beat has a
/// part of it.
fn by_beats(ruler: &Ruler, start: Time, bar: &BarFrame, said: &[Said]) -> String {
    let beats = |at: Time| ruler.beats_before(at - start + bar.offset);
    let first = beats(start);
    let mut at = first;
    let mut groups: Vec<String> = Vec::new();
    let places: Vec<(Ratio<i64>, String)> = said
        .chunk_by(|a, b| a.0 == b.0)
        .filter_map(|now| {
            let words: Vec<&str> = now.iter().map(|(_, word)| word.as_str()).collect();
            Some((written(beats(now.first()?.0)), words.join("+")))
        })
        .collect();
    for (index, (place, word)) in places.iter().enumerate() {
        while at < *place {
            let next = (at + 1).floor().min(*place);
            groups.push(group(".", (at, next), first));
            at = next;
        }
        let next = places.get(index + 1).map(|(next, _)| *next);
        let full = (at + 1).floor();
        let end = next.map_or(full, |next| next.min(full)).max(at + Ratio::new(1, 8));
        groups.push(group(word, (at, end), first));
        at = end;
    }
    groups.join(" ")
}

/// A word that takes the beats from one place to another, of a bar that begins at a place.
fn group(word: &str, (from, to): (Ratio<i64>, Ratio<i64>), first: Ratio<i64>) -> String {
    let length = to - from;
    if length == Ratio::from_integer(1) || (from == first && to.is_integer()) {
        return word.to_owned();
    }
    format!("{word}:{}/{}", length.numer(), length.denom())
}

/// The nearest place before a place that a spread can name.
fn written(place: Ratio<i64>) -> Ratio<i64> {
    let named = |parts: &i64| SPREAD_DIVISORS.iter().any(|d| i64::from(*d) == *parts);
    match named(place.denom()) {
        true => place,
        false => (place * 8).floor() / 8,
    }
}

/// What is said at the hits between two times, a word or a dot for each.
fn by_hits(phrase: &Phrase, (start, end): (Time, Time), said: &[Said]) -> String {
    let first = phrase.notes.partition_point(|n| n.at < start);
    let notes = phrase.notes.get(first..).unwrap_or_default();
    let mut hits: Vec<Time> = notes.iter().map(|n| n.at).take_while(|at| *at < end).collect();
    hits.dedup();
    let last = hits.iter().rposition(|at| said.iter().any(|(time, _)| time == at));
    let word = |at: &Time| {
        let own = said.iter().find(|(time, _)| time == at);
        own.map_or(".", |(_, word)| word.as_str())
    };
    let words: Vec<&str> = hits.iter().take(last.map_or(0, |last| last + 1)).map(word).collect();
    if words.is_empty() { ".".to_owned() } else { words.join(" ") }
}

fn quoted(words: &str) -> String {
    format!("\"{}\"", words.replace('"', "\u{201d}"))
}

fn dynamic(kind: DynamicKind) -> &'static str {
    match kind {
        DynamicKind::Letters(letters) => letters.text(),
        DynamicKind::Louder(GradualSign::Hairpin) => "<",
        DynamicKind::Softer(GradualSign::Hairpin) => ">",
        DynamicKind::Louder(GradualSign::Words) => "cresc",
        DynamicKind::Softer(GradualSign::Words) => "dim",
        DynamicKind::End => "!",
    }
}

/// The keys that a set after the first begins with.
pub(crate) fn keys(phrase: &Phrase, set: &Set) -> Vec<String> {
    let mut lines = Vec::new();
    if set.changes_time {
        lines.extend(
            phrase.bars.get(set.bars.start).map(|bar| format!("time: {}", signature(&bar.meter))),
        );
    }
    let own = phrase.attached.marks.iter().filter(|(at, _)| *at == set.start);
    lines.extend(own.filter_map(|(_, kind)| said_by_key(kind)).map(|mark| match mark {
        KeyMark::Tempo(tempo) => format!("tempo: {}", tempo_value(tempo)),
        KeyMark::Swing(swing) => format!("swing: {}", swing_value(swing)),
    }));
    lines
}

fn tempo_value(Tempo { unit, per_minute, up_to, words, printed }: &Tempo) -> String {
    let words = words.as_ref().map(|words| format!(" {words}")).unwrap_or_default();
    let up_to = up_to.map(|up_to| format!("-{up_to}")).unwrap_or_default();
    let hidden = if *printed { "" } else { " unprinted" };
    format!("{}={per_minute}{up_to}{words}{hidden}", note(*unit))
}

fn swing_value(Swing { unit, long, short }: &Swing) -> String {
    let ratio = match (*long, *short) {
        PLAIN_SWING => String::new(),
        (long, short) => format!(" {long}:{short}"),
    };
    format!("{}{ratio}", note(*unit))
}

/// A note value as a fraction of a whole note.
fn note(value: Time) -> String {
    format!("{}/{}", value.numerator(), value.denominator())
}

/// A side of a metric modulation.
fn modulated(value: Time) -> String {
    match value.denominator() % 3 {
        0 => format!("triplet-{}", note(value * 3 / 2)),
        _ => note(value),
    }
}

/// A mark as its word in a `mark` row.
fn mark(kind: &MarkKind) -> String {
    match kind {
        MarkKind::Form(FormMark::Section(letter)) => letter.clone(),
        MarkKind::Form(FormMark::Ending(passes)) => {
            let numbers = passes.as_str().split(", ").map(|n| format!("{n}."));
            numbers.collect::<Vec<_>>().join(",")
        }
        MarkKind::Form(FormMark::Segno) => "segno".to_owned(),
        MarkKind::Form(FormMark::Coda) => "coda".to_owned(),
        MarkKind::Form(FormMark::Direction(direction)) => self::direction(*direction).to_owned(),
        MarkKind::Tempo(TempoMark::New(tempo)) => format!("tempo={}", tempo_value(tempo)),
        MarkKind::Tempo(TempoMark::Gradual(TempoChange::Slower)) => "rit".to_owned(),
        MarkKind::Tempo(TempoMark::Gradual(TempoChange::Faster)) => "accel".to_owned(),
        MarkKind::Tempo(TempoMark::ATempo) => "a-tempo".to_owned(),
        MarkKind::Feel(FeelMark::Swing(swing)) => format!("swing={}", swing_value(swing)),
        MarkKind::Feel(FeelMark::Straight) => "straight".to_owned(),
        MarkKind::Note(NoteMark::Fermata) => "fermata".to_owned(),
        MarkKind::Words(words) => quoted(words),
        MarkKind::Number(number) => format!("\"{number}\""),
        MarkKind::Layout(LayoutMark::NewLine { asked: true }) => "new-line".to_owned(),
        MarkKind::Layout(LayoutMark::NewLine { asked: false }) => "new-line?".to_owned(),
        MarkKind::Layout(LayoutMark::NewPage) => "new-page".to_owned(),
        MarkKind::Layout(LayoutMark::Turn) => "turn".to_owned(),
        MarkKind::Phrase(PhraseMark::Begins(None)) => "phrase".to_owned(),
        MarkKind::Phrase(PhraseMark::Begins(Some(number))) => format!("phrase={number}"),
        MarkKind::Phrase(PhraseMark::Ends) => "end-phrase".to_owned(),
        MarkKind::Note(NoteMark::Breath) => "breath".to_owned(),
        MarkKind::Note(NoteMark::Caesura) => "caesura".to_owned(),
        MarkKind::Tempo(TempoMark::Modulation { was, now }) => {
            format!("{}={}", modulated(*was), modulated(*now))
        }
    }
}

fn direction(direction: Direction) -> &'static str {
    match direction {
        Direction::Fine => "fine",
        Direction::ToCoda => "to-coda",
        Direction::Jump { back, until, in_full } => match (back, until, in_full) {
            (Back::Start, Until::End, false) => "dc",
            (Back::Start, Until::Fine, false) => "dc-al-fine",
            (Back::Start, Until::Coda, false) => "dc-al-coda",
            (Back::Segno, Until::End, false) => "ds",
            (Back::Segno, Until::Fine, false) => "ds-al-fine",
            (Back::Segno, Until::Coda, false) => "ds-al-coda",
            (Back::Start, Until::End, true) => "da-capo",
            (Back::Start, Until::Fine, true) => "da-capo-al-fine",
            (Back::Start, Until::Coda, true) => "da-capo-al-coda",
            (Back::Segno, Until::End, true) => "dal-segno",
            (Back::Segno, Until::Fine, true) => "dal-segno-al-fine",
            (Back::Segno, Until::Coda, true) => "dal-segno-al-coda",
        },
    }
}

//! Rows as tokens with their places in the columns of a set.

use super::letters;
use super::letters::Feet;
use super::line::{BlockText, ColumnLine, ColumnToken, Key};
use crate::score::HitsRow;
use crate::score::kit::Limb;
use crate::source::Span;
use crate::syntax::tree::{
    BarSign, CellGroup, Content, CountGroup, Entry, Row, Spread, StickGroup, WordCell, WordGroup,
};
use std::collections::BTreeSet;

/// Parts of a beat that every spread is a whole number of.
const BEAT: u64 = 24;

/// Whether a row is aligned with others.
pub fn is_music(content: &Content) -> bool {
    !matches!(content, Content::KitLetter(_) | Content::Syllables(_))
}

/// The tokens of the rows of a set. Where it has a count, each cell stands under its syllable;
/// else each group stands at its beat.
pub fn read(text: BlockText<'_>, rows: &[&Row], feet: &Feet) -> Vec<ColumnLine> {
    let counted = rows.iter().any(|row| matches!(row.content, Content::Count(_)));
    let grids: Vec<Grid<'_>> = if counted { Vec::new() } else { grids(rows) };
    rows.iter()
        .map(|row| {
            let mut line = Builder { written: text, key: Key::default(), tokens: Vec::new() };
            match &row.content {
                Content::Count(all) => line.entries(all, |line, group| line.count(group)),
                Content::Cells(_, all) => line.cells(all, counted),
                Content::Sticks(limb, all) if counted => {
                    line.letters(all, &letters::slots(rows, feet, *limb));
                }
                Content::Sticks(limb, all) => line.sticks(all, *limb, &grids),
                Content::Words(_, all) => line.entries(all, |line, group| {
                    let step = if counted {
                        1
                    } else {
                        beats(group.spread.as_ref().map(|spread| spread.value))
                    };
                    line.words(group, step);
                }),
                Content::KitLetter(_) | Content::Syllables(_) => {}
            }
            ColumnLine { tokens: line.tokens, follows: matches!(row.content, Content::Words(..)) }
        })
        .collect()
}

fn beats(spread: Option<Spread>) -> u64 {
    spread.map_or(BEAT, |spread| {
        (BEAT * u64::from(spread.beats)) / u64::from(spread.divided_by.max(1))
    })
}

/// The lengths of the groups of a row of hits, bar by bar.
struct Grid<'a> {
    row: &'a HitsRow,
    bars: Vec<Vec<u64>>,
}

fn grids<'a>(rows: &[&'a Row]) -> Vec<Grid<'a>> {
    rows.iter()
        .filter_map(|row| {
            let Content::Cells(word, all) = &row.content else { return None };
            let bars = bars(all)
                .map(|bar| {
                    bar.iter()
                        .map(|entry| match entry {
                            Entry::Group(group) => {
                                beats(group.spread.as_ref().map(|spread| spread.value))
                            }
                            _ => BEAT,
                        })
                        .collect()
                })
                .collect();
            Some(Grid { row: word, bars })
        })
        .collect()
}

/// The stretches between bar signs, without the empty ones.
fn bars<T>(entries: &[Entry<T>]) -> impl Iterator<Item = &[Entry<T>]> {
    entries.split(|entry| matches!(entry, Entry::Bar(_))).filter(|bar| !bar.is_empty())
}

struct Builder<'a> {
    written: BlockText<'a>,
    key: Key,
    tokens: Vec<ColumnToken>,
}

impl Builder<'_> {
    fn entries<T>(&mut self, entries: &[Entry<T>], mut group: impl FnMut(&mut Self, &T)) {
        for entry in entries {
            match entry {
                Entry::Group(inner) => group(self, inner),
                Entry::SameBar(same) => self.push(same.span, BEAT),
                Entry::Bar(sign) => {
                    let text = bar(self.written.slice(sign.span), sign.value);
                    let key = self.key.sign();
                    self.add(key, text, 0, sign.span);
                }
            }
        }
    }

    /// Groups of cells; one that goes on over a barline is one piece with it.
    fn cells(&mut self, all: &[Entry<CellGroup>], counted: bool) {
        let step = |group: &CellGroup| match counted {
            true => group.cells.len() as u64,
            false => beats(group.spread.as_ref().map(|spread| spread.value)),
        };
        let mut entries = all.iter();
        while let Some(entry) = entries.next() {
            let Entry::Group(group) = entry else {
                self.entries(std::slice::from_ref(entry), |_, _| {});
                continue;
            };
            let Some(part) = group.across else {
                self.push(group.span, step(group));
                continue;
            };
            self.push(part.whole, BEAT);
            // Its barline and what follows it have columns and no pieces of their own.
            if let Some(Entry::Bar(_)) = entries.next() {
                self.key.sign();
            }
            if let Some(Entry::Group(after)) = entries.next() {
                self.key.group(step(after).saturating_sub(BEAT));
            }
        }
    }

    fn push(&mut self, span: Span, step: u64) {
        let text = self.written.slice(span).to_owned();
        let key = self.key.group(step);
        self.add(key, text, 0, span);
    }

    /// Words with one space between those of a bracket.
    fn words(&mut self, group: &WordGroup, step: u64) {
        let mut text = String::new();
        self.word_cell(&group.cell, &mut text);
        if let Some(spread) = &group.spread {
            text.push_str(self.written.slice(spread.span));
        }
        let key = self.key.group(step);
        self.add(key, text, 0, group.span);
    }

    fn word_cell(&self, cell: &WordCell, text: &mut String) {
        match cell {
            WordCell::Words(parts) => {
                let span = parts.iter().map(|part| part.word.span).reduce(Span::join);
                text.push_str(span.map_or("", |span| self.written.slice(span)));
            }
            WordCell::Split(cells) => {
                text.push('[');
                for (number, cell) in cells.iter().enumerate() {
                    if number > 0 {
                        text.push(' ');
                    }
                    self.word_cell(cell, text);
                }
                text.push(']');
            }
        }
    }

    fn add(&mut self, key: Key, text: String, lead: usize, span: Span) {
        let from = self.tokens.last().map(|last| last.end);
        let gap = from.map_or(0, |from| gap(self.written.slice(Span::new(from, span.start()))));
        self.tokens.push(ColumnToken { key, text, lead, gap, end: span.end() });
    }

    /// A word, or the words of a bracket, each with a column of its own.
    fn count(&mut self, group: &CountGroup) {
        match group {
            CountGroup::Word(word) => self.push(word.span, 1),
            CountGroup::Division { words, span } => {
                let last = words.len().saturating_sub(1);
                for (at, word) in words.iter().enumerate() {
                    let key = self.key.group(1);
                    let open = if at == 0 { "(" } else { "" };
                    let close = if at == last { ")" } else { "" };
                    let text = format!("{open}{}{close}", word.value);
                    let place = if at == 0 { *span } else { word.span };
                    self.add(key, text, open.len(), place);
                    if let Some(token) = self.tokens.last_mut() {
                        token.end = if at == last { span.end() } else { word.span.end() };
                        if at > 0 {
                            token.gap = 1;
                        }
                    }
                }
            }
        }
    }

    /// Letters of a counted set under the syllables of their hits. A bar whose letters and hits are
    /// not equally many, or that has dots, is set syllable by syllable.
    fn letters(&mut self, entries: &[Entry<StickGroup>], slots: &[BTreeSet<u64>]) {
        let mut number = 0;
        for bar in entries.split_inclusive(|entry| matches!(entry, Entry::Bar(_))) {
            let groups = bar.iter().filter_map(|entry| match entry {
                Entry::Group(group) => Some(letters::count(group)),
                _ => None,
            });
            let letters: Option<Vec<usize>> = groups.collect();
            let own = slots.get(number);
            let fits = letters.is_some_and(|letters| {
                own.is_some_and(|own| own.len() == letters.iter().sum::<usize>())
            });
            let mut hits = own.filter(|_| fits).into_iter().flatten();
            self.entries(bar, |line, group| {
                let step = group.cells.len() as u64;
                let text = line.written.slice(group.span).to_owned();
                let key = match hits.next() {
                    Some(at) => {
                        let next = hits.by_ref().take(group.cells.len().saturating_sub(1)).last();
                        line.key.group_from(*at, next.map_or(1, |next| next + 1 - at))
                    }
                    None => line.key.group(step),
                };
                line.add(key, text, 0, group.span);
            });
            if bar.iter().any(|entry| !matches!(entry, Entry::Bar(_))) {
                number += 1;
            }
        }
    }

    /// Groups of letters at the places of the groups they belong to: those of the first row of
    /// hits that has as many in the same bar, else beat by beat.
    fn sticks<T: Spannable>(&mut self, entries: &[Entry<T>], limb: Limb, grids: &[Grid<'_>]) {
        let leads = |row: &HitsRow| match row {
            HitsRow::Play => true,
            HitsRow::Limb(own) => *own == limb,
            HitsRow::Band | HitsRow::Instrument(_) => false,
        };
        let counts: Vec<usize> = bars(entries).map(<[_]>::len).collect();
        let steps = counts.iter().enumerate().map(|(bar, count)| {
            let fitting = || {
                grids
                    .iter()
                    .filter(move |grid| grid.bars.get(bar).is_some_and(|bar| bar.len() == *count))
            };
            fitting()
                .find(|grid| leads(grid.row))
                .or_else(|| fitting().next())
                .and_then(|grid| grid.bars.get(bar).cloned())
                .unwrap_or_else(|| vec![BEAT; *count])
        });
        let steps: Vec<u64> = steps.flatten().collect();
        let mut steps = steps.into_iter();
        for entry in entries {
            match entry {
                Entry::Group(group) => self.push(group.span(), steps.next().unwrap_or(BEAT)),
                Entry::SameBar(same) => self.push(same.span, steps.next().unwrap_or(BEAT)),
                Entry::Bar(_) => self.entries(std::slice::from_ref(entry), |_, _| {}),
            }
        }
    }
}

trait Spannable {
    fn span(&self) -> Span;
}

impl Spannable for crate::syntax::tree::StickGroup {
    fn span(&self) -> Span {
        self.span
    }
}

/// A bar sign with one space before its number.
fn bar(written: &str, sign: BarSign) -> String {
    let counted = matches!(
        sign,
        BarSign::RepeatEnd { counted: true, .. } | BarSign::RepeatBoth { counted: true, .. }
    );
    match written.rfind(['|', ':']).filter(|_| counted) {
        Some(at) => {
            let (sign, times) = written.split_at(at + 1);
            format!("{sign} {}", times.trim_start())
        }
        None => written.to_owned(),
    }
}

/// How wide white space looks; a tab is as wide as any gap needs to be.
fn gap(text: &str) -> usize {
    text.chars().map(|c| if c == '\t' { 4 } else { 1 }).sum()
}

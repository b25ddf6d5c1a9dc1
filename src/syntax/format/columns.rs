//! Tokens of several rows set in shared columns.

use super::line::{ColumnLine, Key};
use std::collections::BTreeMap;

/// Space between columns, and between columns that were written further apart.
const NARROW: usize = 1;
const WIDE: usize = 3;
/// A set whose rows would grow wider than this is not aligned.
const WIDEST: usize = 4_000;
/// Nor is one that would take this many times the room of its tokens, beside this much anyway.
const GROWTH: usize = 8;
const ROOM: usize = 4_096;

/// The rows as text, aligned where that keeps them to a width that can be read.
pub fn align(rows: Vec<ColumnLine>) -> Vec<String> {
    let written: usize = rows.iter().flat_map(|row| &row.tokens).map(|t| t.width() + 1).sum();
    let fits = |starts: &Vec<Vec<usize>>| {
        let ends = || {
            rows.iter().zip(starts).map(|(row, starts)| {
                row.tokens.last().zip(starts.last()).map_or(0, |(token, at)| at + token.width())
            })
        };
        ends().max().unwrap_or(0) <= WIDEST && ends().sum::<usize>() <= GROWTH * written + ROOM
    };
    let starts = [Some(wide(&rows)), None]
        .into_iter()
        .map(|wide| starts(&rows, &wide.unwrap_or_default()))
        .find(fits);
    rows.iter()
        .enumerate()
        .map(|(row, line)| text(line, starts.as_ref().and_then(|starts| starts.get(row))))
        .collect()
}

/// The columns that stand off from the one before: in no row that has something there does it
/// follow closely.
///
/// Rows set by [`starts`] have the same ones again: in the row that decides where a column stands,
/// the space before it is exactly [`NARROW`] or [`WIDE`].
fn wide(rows: &[ColumnLine]) -> BTreeMap<Key, usize> {
    let mut least: BTreeMap<Key, usize> = BTreeMap::new();
    for row in rows.iter().filter(|row| !row.follows) {
        for token in row.tokens.iter().skip(1) {
            let gap = least.entry(token.key).or_insert(usize::MAX);
            *gap = (*gap).min(token.gap);
        }
    }
    least.retain(|_, gap| *gap > NARROW);
    least
}

/// Where each token of each row starts.
fn starts(rows: &[ColumnLine], wide: &BTreeMap<Key, usize>) -> Vec<Vec<usize>> {
    let mut columns: BTreeMap<Key, Vec<(usize, usize)>> = BTreeMap::new();
    for (row, line) in rows.iter().enumerate() {
        for (at, token) in line.tokens.iter().enumerate() {
            columns.entry(token.key).or_default().push((row, at));
        }
    }
    let mut starts: Vec<Vec<usize>> = rows.iter().map(|_| Vec::new()).collect();
    let mut ends: Vec<usize> = vec![0; rows.len()];
    for (key, members) in columns {
        let gap = if wide.contains_key(&key) { WIDE } else { NARROW };
        let earliest = |row: usize, at: usize, lead: usize| {
            ends.get(row).copied().unwrap_or(0) + if at == 0 { 0 } else { gap } + lead
        };
        let token = |row: usize, at: usize| rows.get(row).and_then(|row| row.tokens.get(at));
        let follows = |row: usize| rows.get(row).is_some_and(|row| row.follows);
        let column = members
            .iter()
            .filter(|(row, _)| !follows(*row))
            .filter_map(|(row, at)| Some(earliest(*row, *at, token(*row, *at)?.lead)))
            .max()
            .unwrap_or(0);
        let placed: Vec<(usize, usize, usize)> = members
            .iter()
            .filter_map(|(row, at)| {
                let token = token(*row, *at)?;
                let start = column.max(earliest(*row, *at, token.lead)) - token.lead;
                Some((*row, start, start + token.width()))
            })
            .collect();
        for (row, start, end) in placed {
            if let (Some(starts), Some(last)) = (starts.get_mut(row), ends.get_mut(row)) {
                starts.push(start);
                *last = end;
            }
        }
    }
    starts
}

/// A row with its tokens at their places, or one space apart where they have none.
fn text(line: &ColumnLine, starts: Option<&Vec<usize>>) -> String {
    let mut out = String::new();
    let mut width = 0;
    for (at, token) in line.tokens.iter().enumerate() {
        let start = starts.and_then(|starts| starts.get(at).copied()).unwrap_or(if at == 0 {
            0
        } else {
            width + NARROW
        });
        out.extend(std::iter::repeat_n(' ', start.saturating_sub(width)));
        out.push_str(&token.text);
        width = start.max(width) + token.width();
    }
    out
}

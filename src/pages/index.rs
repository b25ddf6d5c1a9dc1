//! The index at the end: blocks by their titles and by what they are tagged with, in columns. It is
//! set when every other page is known, so its numbers are the last word.

use super::block;
use super::labels::Labels;
use super::piece::{LinkArea, OutlineHeading, Piece};
use super::prose::{FlatText, ProseLine};
use super::reference::ReferenceText;
use super::setter::Setter;
use crate::drawing::Kind;
use crate::font::FaceStyle;
use crate::score::Score;
use crate::score::settings::Index;
use kurbo::Rect;
use std::collections::BTreeMap;

/// Between columns, in ems.
const GUTTER: f64 = 2.0;
/// What the lines of an entry after its first are indented by, in ems.
const HANGING: f64 = 1.2;
/// The narrowest column, in ems.
const NARROWEST: f64 = 15.0;
/// Most columns.
const MOST_COLUMNS: usize = 3;
/// Distance of baselines, and the room where another letter begins, as multiples of the size.
const PITCH: f64 = 1.25;
const LETTER_GAP: f64 = 0.6;
/// A list begins at the foot of a page only where so many lines fit.
const LEAST_LINES: f64 = 4.0;

/// An entry: what it is sorted by, its words, and blocks by their index among the items.
struct IndexEntry {
    words: String,
    items: Vec<usize>,
}

/// One list of the index.
struct IndexList {
    title: &'static str,
    entries: Vec<IndexEntry>,
}

/// A line of a column.
struct IndexLine {
    line: ProseLine,
    indent: f64,
    /// Room over it, but at the head of a column.
    before: f64,
    begins: bool,
}

/// The headings of an index, for the contents.
pub fn headings(score: &Score) -> Vec<OutlineHeading> {
    lists(score).iter().map(|list| heading(list.title)).collect()
}

fn heading(title: &str) -> OutlineHeading {
    OutlineHeading { level: 1, words: title.to_owned(), block: None }
}

/// The lists the header asks for, but empty ones.
fn lists(score: &Score) -> Vec<IndexList> {
    let wanted = score.header.index;
    let mut lists = Vec::new();
    let blocks = || {
        let items = score.items.iter().enumerate();
        items.filter_map(|(index, item)| Some((index, block::of_item(item)?)))
    };
    if matches!(wanted, Index::Exercises | Index::Both) {
        let titles = blocks().filter_map(|(index, block)| Some((block.title.clone()?, index)));
        lists.push(IndexList { title: "Index of exercises", entries: entries(titles) });
    }
    if matches!(wanted, Index::Techniques | Index::Both) {
        let tags = blocks().flat_map(|(index, block)| {
            // A block that prints no title leaves nothing to land on.
            let shown = block.label().is_some();
            let tags = block.settings.tags.iter().filter(move |_| shown);
            tags.map(move |tag| (tag.clone(), index))
        });
        lists.push(IndexList { title: "Index of techniques", entries: entries(tags) });
    }
    lists.retain(|list| !list.entries.is_empty());
    lists
}

/// Entries in the order of their letters, capitals or not; signs before the first letter or figure
/// do not count.
fn entries(found: impl Iterator<Item = (String, usize)>) -> Vec<IndexEntry> {
    let mut sorted: BTreeMap<String, IndexEntry> = BTreeMap::new();
    for (words, item) in found {
        let key = key(&words);
        let entry = sorted.entry(key).or_insert_with(|| IndexEntry { words, items: Vec::new() });
        entry.items.push(item);
    }
    sorted.into_values().collect()
}

/// Figures are padded, so that 2 comes before 10.
fn key(words: &str) -> String {
    let bare = words.trim_start_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let mut key = String::with_capacity(bare.len());
    let mut rest = bare.as_str();
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(start);
        let end = from.find(|c: char| !c.is_ascii_digit()).unwrap_or(from.len());
        let (figures, after) = from.split_at(end);
        key.push_str(before);
        key.push_str(&format!("{figures:0>6}"));
        rest = after;
    }
    key + rest
}

/// The pages of the index: the pieces of each, from the top of the page down.
pub fn pages(
    setter: &Setter<'_>,
    score: &Score,
    stands_on: &BTreeMap<usize, usize>,
    labels: Labels,
) -> Vec<Vec<Piece>> {
    let sheet = setter.sheet;
    let size = sheet.prose - 1.0;
    let room = sheet.room();
    let (columns, width) = columns(sheet.text_width(), size);
    let mut pages: Vec<Vec<Piece>> = Vec::new();
    let mut left = 0.0;
    for list in lists(score) {
        let mut title = setter.heading_row(list.title);
        title.headings = vec![heading(list.title)];
        if left < title.before + title.height + LEAST_LINES * PITCH * size {
            pages.push(Vec::new());
            left = room;
        } else {
            left -= title.before;
        }
        left -= title.height;
        if let Some(page) = pages.last_mut() {
            page.push(title);
        }
        let rows = rows(setter, &list, stands_on, labels, (size, width));
        let mut rest = rows.as_slice();
        let mut before = sheet.after_title;
        while !rest.is_empty() {
            left -= before;
            let taken = fill(rest, size, left.max(PITCH * size), columns);
            let (now, later) = rest.split_at(taken.iter().sum());
            rest = later;
            let piece = Piece { before, ..side_by_side(setter, now, &taken, (size, width)) };
            left -= piece.height;
            before = 0.0;
            if let Some(page) = pages.last_mut() {
                page.push(piece);
            }
            if !rest.is_empty() {
                pages.push(Vec::new());
                left = room;
            }
        }
    }
    pages
}

/// How many columns, and how wide each is.
fn columns(width: f64, size: f64) -> (usize, f64) {
    let gutter = GUTTER * size;
    let fit = ((width + gutter) / (NARROWEST * size + gutter)).floor();
    let columns = fit.clamp(1.0, MOST_COLUMNS as f64);
    (columns as usize, (width - gutter * (columns - 1.0)) / columns)
}

/// The lines of a list.
fn rows(
    setter: &Setter<'_>,
    list: &IndexList,
    stands_on: &BTreeMap<usize, usize>,
    labels: Labels,
    (size, width): (f64, f64),
) -> Vec<IndexLine> {
    let mut rows = Vec::new();
    let mut letter = None;
    for entry in &list.entries {
        let mut flat = FlatText::default();
        flat.push(&entry.words, FaceStyle::Regular);
        let mut last_page = None;
        for item in &entry.items {
            let Some(page) = stands_on.get(item) else { continue };
            if last_page == Some(page) {
                continue;
            }
            flat.push(if last_page.is_none() { "\u{2002}" } else { ", " }, FaceStyle::Regular);
            last_page = Some(page);
            let said = ReferenceText { words: labels.of(*page), page: None, item: Some(*item) };
            flat.push_said(&said, FaceStyle::Regular);
        }
        let first = key(&entry.words).chars().next();
        let gap = if letter.is_some() && letter != first { LETTER_GAP * size } else { 0.0 };
        letter = first;
        let hanging = HANGING * size;
        let lines = flat.lines(setter.fonts, size, width - hanging, Kind::Text);
        rows.extend(lines.into_iter().enumerate().map(|(nth, line)| IndexLine {
            line,
            indent: if nth == 0 { 0.0 } else { hanging },
            before: if nth == 0 { gap } else { 0.0 },
            begins: nth == 0,
        }));
    }
    rows
}

/// How many lines go into each column: as few as make the columns even where all fit, else as many
/// as there is room for. At least one goes somewhere.
fn fill(rows: &[IndexLine], size: f64, room: f64, columns: usize) -> Vec<usize> {
    let pitch = PITCH * size;
    let all: f64 = rows.iter().map(|row| row.before + pitch).sum();
    let mut height = (all / columns as f64).max(pitch).min(room);
    loop {
        let taken = column_lines(rows, pitch, height, columns);
        if taken.iter().sum::<usize>() == rows.len() || height >= room {
            return taken;
        }
        height = (height + pitch / 2.0).min(room);
    }
}

fn column_lines(rows: &[IndexLine], pitch: f64, height: f64, columns: usize) -> Vec<usize> {
    let mut taken = Vec::new();
    let mut rest = rows;
    for _ in 0..columns {
        let mut used = 0.0;
        let mut fits = 0;
        for (nth, row) in rest.iter().enumerate() {
            used += pitch + if nth == 0 { 0.0 } else { row.before };
            if used > height + 1e-6 && nth > 0 {
                break;
            }
            fits = nth + 1;
        }
        // An entry is not parted where it can go on whole in the next column.
        let parted = rest.get(fits).is_some_and(|row| !row.begins);
        if parted
            && let Some(start) = rest[..fits].iter().rposition(|row| row.begins)
            && start > 0
        {
            fits = start;
        }
        taken.push(fits);
        rest = rest.get(fits..).unwrap_or(&[]);
    }
    taken
}

fn side_by_side(
    setter: &Setter<'_>,
    rows: &[IndexLine],
    taken: &[usize],
    (size, width): (f64, f64),
) -> Piece {
    let pitch = PITCH * size;
    let mut piece = Piece { begins: true, ..Piece::default() };
    let mut rest = rows;
    for (column, count) in taken.iter().enumerate() {
        let left = column as f64 * (width + GUTTER * size);
        let (now, later) = rest.split_at_checked(*count).unwrap_or((rest, &[]));
        rest = later;
        let mut y = 0.0;
        for (nth, row) in now.iter().enumerate() {
            y += if nth == 0 { 0.0 } else { row.before };
            let x = left + row.indent;
            let set = setter.row(row.line.marks.clone(), x, size, 0.0);
            piece.links.extend(row.line.links.iter().map(|link| LinkArea {
                area: Rect::new(x + link.x0, y, x + link.x1, y + set.height),
                item: link.item,
            }));
            piece.nodes.extend(set.nodes.into_iter().map(|node| node.transform(1.0, 0.0, y)));
            y += pitch;
        }
        piece.height = piece.height.max(y);
    }
    piece
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_come_in_the_order_of_letters_and_numbers() {
        let titles = ["gate 10", "\u{201c}Flam\u{201d}", "Gate 2", "drag", "gate 2a"];
        let found = titles.iter().enumerate().map(|(item, title)| ((*title).to_owned(), item));
        let sorted: Vec<usize> = entries(found).iter().map(|entry| entry.items[0]).collect();
        assert_eq!(sorted, [3, 1, 2, 4, 0]);
    }
}

//! The index on its pages, in columns. It is set when every other page is known, so its numbers are the
//! last word.

use super::column::{ColumnPiece, PartOf};
use super::flat_text::{FlatText, Lead};
use super::index;
use super::index_lists::{IndexEntry, IndexList, IndexLists};
use super::index_memo::{IndexGround, IndexLine, IndexMemo, SetColumns, SetEntry, SetIndex};
use super::item_ids::{ByItem, ItemId};
use super::labels::Labels;
use super::piece::{LinkArea, Piece};
use super::prose;
use super::reference::{ReferenceTarget, ReferenceText};
use super::setter::Setter;
use super::settle::Settled;
use super::sheet::Sheet;
use crate::drawing::Kind;
use crate::font::FaceStyle;
use crate::parallel::{Each, map_in_order};
use kurbo::Rect;
use std::sync::Arc;

/// What the words are smaller by than prose, in points (this and what follows: common practice, no
/// source).
const SMALLER: f64 = 1.0;
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

/// The pages of the index, which may have been set before.
pub fn known_pages(
    setter: &Setter<'_>,
    lists: IndexLists,
    settled: &Settled,
    memo: &mut IndexMemo,
) -> Vec<Vec<ColumnPiece>> {
    let known = memo.take();
    let ground =
        IndexGround { lists, stands_on: settled.stands.items.clone(), labels: settled.labels };
    let set = match known {
        Some(known) if known.ground.is_as(&ground) => SetIndex { ground, ..known },
        known => pages(setter, ground, known.as_ref()),
    };
    let pages = set.pages.clone();
    memo.keep(set);
    pages
}

/// The pages of the index: the pieces of each, from the top of the page down.
fn pages(setter: &Setter<'_>, ground: IndexGround, known: Option<&SetIndex>) -> SetIndex {
    let sheet = setter.sheet;
    let columns = Columns::of(sheet);
    let room = sheet.room();
    let lists = ground.lists.lists().clone();
    let mut set = SetIndex { ground, entries: Vec::new(), columns: Vec::new(), pages: Vec::new() };
    let mut left = 0.0;
    let mut planned = Vec::new();
    for list in lists.iter() {
        let mut title = setter.heading_row(list.title);
        title.headings = vec![index::heading(list.title)];
        let new_page = left < title.before + title.height + LEAST_LINES * columns.pitch();
        left = if new_page { room } else { left - title.before };
        left -= title.height;
        planned.push((new_page, Planned::Title(title.into())));
        let entries = columns.entries(setter, list, &set.ground, known);
        let mut rest = columns.lines(list, &entries).into_iter();
        set.entries.push(entries);
        let mut before = sheet.after_title;
        let mut new_page = false;
        while !rest.as_slice().is_empty() {
            if new_page {
                left = room;
            }
            left -= before;
            let taken = columns.fill(rest.as_slice(), left.max(columns.pitch()));
            let lines: Vec<IndexLine> = rest.by_ref().take(taken.iter().sum()).collect();
            left -= columns.height(&lines, &taken);
            planned.push((new_page, Planned::Columns { lines, taken, before }));
            (before, new_page) = (0.0, true);
        }
    }
    let piece = |lines: &[IndexLine], taken: &[usize], before| {
        Arc::new(Piece { before, ..columns.side_by_side(setter, lines, taken) })
    };
    set.take(planned, piece, known);
    set
}

/// What is to stand on a page of the index.
enum Planned {
    /// What stands over a list.
    Title(ColumnPiece),
    /// Lines, how many go into each column, and the room over them.
    Columns { lines: Vec<IndexLine>, taken: Vec<usize>, before: f64 },
}

impl SetIndex {
    /// Sets what is planned and not known, side by side, and puts it on its pages; with each it is said whether it
    /// begins one.
    fn take(
        &mut self,
        planned: Vec<(bool, Planned)>,
        set: impl Fn(&[IndexLine], &[usize], f64) -> Arc<Piece> + Sync + Send,
        known: Option<&Self>,
    ) {
        let mut nth = 0;
        let known = |planned: &Planned| match planned {
            Planned::Title(_) => None,
            Planned::Columns { lines, taken, before } => {
                nth += 1;
                let piece = known.and_then(|known| known.known_columns(nth - 1, lines, taken));
                piece.filter(|piece| piece.before == *before)
            }
        };
        let pieces: Vec<_> = planned.iter().map(|(_, planned)| planned).map(known).collect();
        let all = planned.into_iter().zip(pieces).collect();
        let all = map_in_order(Each::Large, all, |((new_page, planned), piece)| {
            let piece = match &planned {
                Planned::Title(title) => title.clone(),
                Planned::Columns { lines, taken, before } => {
                    let piece = piece.unwrap_or_else(|| set(lines, taken, *before));
                    ColumnPiece::new(piece, PartOf::Frame)
                }
            };
            (new_page, planned, piece)
        });
        for (new_page, planned, piece) in all {
            if new_page {
                self.pages.push(Vec::new());
            }
            if let Planned::Columns { lines, taken, .. } = planned {
                self.columns.push(SetColumns { lines, taken, piece: piece.piece.clone() });
            }
            if let Some(page) = self.pages.last_mut() {
                page.push(piece);
            }
        }
    }
}

/// Columns side by side.
#[derive(Clone, Copy)]
struct Columns {
    /// How many.
    count: usize,
    /// Width of each, in points.
    width: f64,
    /// Size of the words, in points.
    size: f64,
}

impl Columns {
    /// As many as there is room for.
    fn of(sheet: &Sheet) -> Self {
        let size = sheet.prose - SMALLER;
        let width = sheet.text_width();
        let gutter = GUTTER * size;
        let fit = ((width + gutter) / (NARROWEST * size + gutter)).floor();
        let count = fit.clamp(1.0, MOST_COLUMNS as f64);
        Self { count: count as usize, width: (width - gutter * (count - 1.0)) / count, size }
    }

    /// Distance of baselines, in points.
    fn pitch(self) -> f64 {
        PITCH * self.size
    }

    /// The entries of a list.
    fn entries(
        self,
        setter: &Setter<'_>,
        list: &IndexList,
        IndexGround { stands_on, labels, .. }: &IndexGround,
        known: Option<&SetIndex>,
    ) -> Vec<Arc<SetEntry>> {
        let width = self.width - HANGING * self.size;
        let none = || vec![None; list.entries.len()];
        let known = known.map_or_else(none, |known| known.known_entries(list, *labels));
        let as_known = |(entry, known): (&'_ Arc<IndexEntry>, Option<&Arc<SetEntry>>)| {
            let known = known.filter(|set| stands(entry, stands_on).eq(set.stands.iter().copied()));
            (entry.clone(), known.cloned())
        };
        let entries = list.entries.iter().zip(known).map(as_known).collect();
        map_in_order(Each::Small, entries, |(entry, known): (Arc<IndexEntry>, _)| {
            known.unwrap_or_else(|| {
                let stands: Vec<_> = stands(&entry, stands_on).collect();
                let flat = words_and_pages(&entry, &stands, *labels);
                let lines = prose::set(setter.fonts, &flat, self.size, width, Kind::Text).into();
                Arc::new(SetEntry { stands, lines })
            })
        })
    }

    /// The lines of a list.
    fn lines(self, list: &IndexList, entries: &[Arc<SetEntry>]) -> Vec<IndexLine> {
        let hanging = HANGING * self.size;
        let mut rows = Vec::new();
        let mut letter = None;
        for (entry, set) in list.entries.iter().zip(entries) {
            let (first, lines) = (entry.letter, &set.lines);
            let gap =
                if letter.is_some() && letter != first { LETTER_GAP * self.size } else { 0.0 };
            letter = first;
            rows.extend((0..lines.len()).map(|nth| IndexLine {
                lines: lines.clone(),
                nth,
                indent: if nth == 0 { 0.0 } else { hanging },
                before: if nth == 0 { gap } else { 0.0 },
                begins: nth == 0,
            }));
        }
        rows
    }

    /// How many lines go into each column: as few as make the columns even where all fit, else as many
    /// as there is room for. At least one goes somewhere.
    fn fill(self, rows: &[IndexLine], room: f64) -> Vec<usize> {
        let pitch = self.pitch();
        let all: f64 = rows.iter().map(|row| row.before + pitch).sum();
        let mut height = (all / self.count as f64).max(pitch).min(room);
        loop {
            let taken = self.column_lines(rows, height);
            if taken.iter().sum::<usize>() == rows.len() || height >= room {
                return taken;
            }
            height = (height + pitch / 2.0).min(room);
        }
    }

    /// How many lines go into each column of a height.
    fn column_lines(self, rows: &[IndexLine], height: f64) -> Vec<usize> {
        let pitch = self.pitch();
        let mut taken = Vec::new();
        let mut rest = rows;
        for _ in 0..self.count {
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

    /// How tall lines are in columns, in points; `taken` says how many go into each.
    fn height(self, rows: &[IndexLine], taken: &[usize]) -> f64 {
        let pitch = self.pitch();
        let mut rest = rows;
        let mut tallest = 0.0_f64;
        for count in taken {
            let (now, later) = rest.split_at_checked(*count).unwrap_or((rest, &[]));
            rest = later;
            let before = |(nth, row): (usize, &IndexLine)| if nth == 0 { 0.0 } else { row.before };
            let own = now.iter().enumerate().map(before);
            tallest = tallest.max(own.fold(0.0, |y, before| y + before + pitch));
        }
        tallest
    }

    /// Lines in columns as a piece; `taken` says how many go into each.
    fn side_by_side(self, setter: &Setter<'_>, rows: &[IndexLine], taken: &[usize]) -> Piece {
        let pitch = self.pitch();
        let mut piece = Piece { begins: true, ..Piece::default() };
        let mut nodes = Vec::new();
        let mut rest = rows;
        for (column, count) in taken.iter().enumerate() {
            let left = column as f64 * (self.width + GUTTER * self.size);
            let (now, later) = rest.split_at_checked(*count).unwrap_or((rest, &[]));
            rest = later;
            let mut y = 0.0;
            for (nth, row) in now.iter().enumerate() {
                y += if nth == 0 { 0.0 } else { row.before };
                let x = left + row.indent;
                let Some(line) = row.lines.get(row.nth) else { continue };
                let set = setter.row(line.marks(), x, self.size, 0.0);
                piece.links.extend(line.parts.iter().filter_map(|part| match part.lead {
                    Some((_, Lead::Item(to))) => Some(LinkArea {
                        area: Rect::new(x + part.x0, y, x + part.x1, y + set.height),
                        to,
                        said: None,
                        node: nodes.len(),
                        number: None,
                    }),
                    Some((_, Lead::Address(_) | Lead::NoteMark)) | None => None,
                }));
                let moved = set.nodes.iter().map(|node| node.clone().transform(1.0, 0.0, y));
                nodes.extend(moved);
                y += pitch;
            }
            piece.height = piece.height.max(y);
        }
        piece.nodes = nodes.into();
        piece
    }
}

/// The pages an entry names, each with the first block on it.
fn stands(entry: &IndexEntry, stands_on: &ByItem<usize>) -> impl Iterator<Item = (ItemId, usize)> {
    let places = entry.items.iter();
    let places = places.filter_map(|item| Some((*item, *stands_on.get(*item)?)));
    let mut last = None;
    places.filter(move |(_, page)| last.replace(*page) != Some(*page))
}

/// The words of an entry, and its pages.
fn words_and_pages(entry: &IndexEntry, stands: &[(ItemId, usize)], labels: Labels) -> FlatText {
    let mut flat = FlatText::default();
    flat.push(&entry.words, FaceStyle::Regular);
    let mut rest = stands;
    while let Some(((item, page), others)) = rest.split_first() {
        let first = rest.len() == stands.len();
        push_between(&mut flat, if first { "\u{2002}" } else { ", " });
        push_page(&mut flat, *item, labels.of(*page));
        // Pages that follow each other are named by the first and the last.
        let run = others.iter().zip(page + 1..).take_while(|((_, own), next)| own == next).count();
        if let (true, Some((item, page))) = (run > 1, others.get(run.wrapping_sub(1))) {
            push_between(&mut flat, "–");
            push_page(&mut flat, *item, labels.of(*page));
            rest = others.get(run..).unwrap_or(&[]);
        } else {
            rest = others;
        }
    }
    flat
}

fn push_between(flat: &mut FlatText, sign: &str) {
    flat.push(sign, FaceStyle::Regular);
}

fn push_page(flat: &mut FlatText, item: ItemId, words: String) {
    let said = ReferenceText { words, page: None, to: Some(ReferenceTarget::start_of(item)) };
    flat.push_said(&said, FaceStyle::Regular);
}

//! One file, without those it includes: read whole, or where it was edited.

use super::grammar::Piece;
use super::head::BlockHead;
use super::lines;
use super::outline::{OutlinedStretch, Stretch, outline, outline_body};
use super::rows::Rows;
use super::tree::{Item, Setting};
use super::{codes, limits};
use crate::parallel::{Each, map_in_order};
use crate::score::ProseBlock;
use crate::source::{Diagnostics, Span};
use std::ops::Range;
use std::sync::Arc;

/// A file as a row of stretches, each of which knows no place but in itself.
#[derive(Clone, Debug, Default)]
pub struct FileTree {
    /// The byte order mark before the first.
    mark: usize,
    stretches: Vec<PlacedStretch>,
    /// The instruments of all its kits.
    rows: Rows,
    /// How far down it was looked at to read the header.
    header_reach: usize,
}

/// The least bytes of a piece that is worth reading beside others.
const LEAST_PIECE: usize = 4 * 1024;

/// A stretch, and what of it is asked of all stretches at every edit.
#[derive(Clone, Debug)]
struct PlacedStretch {
    stretch: Arc<Stretch>,
    /// Its first byte in the file.
    start: usize,
    /// How many items stand before it.
    item: usize,
    /// How many items it holds.
    items: usize,
    /// Whether something was found in it.
    faulty: bool,
    /// Whether it includes another file.
    includes: bool,
}

impl PlacedStretch {
    /// A stretch after others; the first starts at a byte.
    fn after(last: Option<&Self>, first: usize, stretch: Arc<Stretch>) -> Self {
        let end = last.map(|last| (last.start + last.stretch.bytes, last.item + last.items));
        let (start, item) = end.unwrap_or((first, 0));
        let items = stretch.items.len();
        let faulty = !stretch.found.is_empty();
        let includes = stretch.items.iter().any(|item| matches!(item, Item::Include(_)));
        Self { stretch, start, item, items, faulty, includes }
    }
}

/// Stretches in order, the first of which starts at a byte.
fn placed(stretches: Vec<Arc<Stretch>>, start: usize) -> Vec<PlacedStretch> {
    let mut all: Vec<PlacedStretch> = Vec::with_capacity(stretches.len());
    for stretch in stretches {
        all.push(PlacedStretch::after(all.last(), start, stretch));
    }
    all
}

/// Stretches that are replaced, by index, and those in their place.
type Replacement = (Range<usize>, Vec<Arc<Stretch>>);

/// Which items of a file were read again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadAgain {
    /// The items that are gone, by their indices before.
    pub old: Range<usize>,
    /// Those in their place.
    pub new: Range<usize>,
}

/// A change of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The bytes that are replaced.
    pub range: Range<usize>,
    /// How many stand in their place.
    pub bytes: usize,
}

impl FileTree {
    /// Reads the text of a file.
    pub fn read(text: &str) -> Self {
        if text.len() > limits::FILE_BYTES {
            return Self::too_large(text.len());
        }
        let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut tree = Self { mark: text.len() - bare.len(), ..Self::default() };
        let pieces = pieces(Piece { text: bare, start: tree.mark });
        let lines = map_in_order(Each::Large, pieces, lines::split);
        let first = lines.first().map_or(&[][..], Vec::as_slice);
        let mut after = first.iter().skip_while(|line| line.body.is_none());
        let blank = after.find(|line| line.is_blank());
        tree.header_reach = blank.map_or(text.len(), |line| line.span.end());
        let outlined = map_in_order(
            Each::Large,
            lines.iter().enumerate().collect(),
            |(nth, lines)| match nth {
                0 => outline(lines),
                _ => outline_body(lines),
            },
        );
        let outlined: Vec<OutlinedStretch<'_>> = outlined.into_iter().flatten().collect();
        tree.rows.instruments = instruments(&outlined);
        tree.stretches = placed(read_rows(outlined, &tree.rows, text.len()), tree.mark);
        tree
    }

    fn too_large(bytes: usize) -> Self {
        let mut found = Diagnostics::default();
        found
            .error(Span::default(), "this file is larger than 4 megabytes and was not read")
            .code(codes::FILE_TOO_LARGE)
            .mend("break it into several files");
        let stretch = Stretch { bytes, found, ..Stretch::default() };
        let stretches = placed(vec![Arc::new(stretch)], 0);
        Self { stretches, header_reach: bytes, ..Self::default() }
    }

    /// Reads what a change of the file touches; `text` is the whole text after it. What the stretches
    /// come to is what [`FileTree::read`] makes of that text, and those that stay are the same. Which items were
    /// read again, or nothing where that is all of them.
    pub fn edit(&mut self, text: &str, change: &Change) -> Option<ReadAgain> {
        let whole = change.range.start <= self.header_reach || text.len() > limits::FILE_BYTES;
        let read = if whole { None } else { self.read_again(text, change) };
        let Some((replaced, new)) = read else {
            *self = Self::read(text);
            return None;
        };
        Some(self.put(replaced, new))
    }

    /// Puts stretches in the place of others.
    fn put(&mut self, replaced: Range<usize>, new: Vec<Arc<Stretch>>) -> ReadAgain {
        let item = |at: usize| {
            let end = self.stretches.last().map_or(0, |last| last.item + last.items);
            self.stretches.get(at).map_or(end, |stretch| stretch.item)
        };
        let old = item(replaced.start)..item(replaced.end);
        let mut last = replaced.start.checked_sub(1).and_then(|last| self.stretches.get(last));
        let mut own: Vec<PlacedStretch> = Vec::with_capacity(new.len());
        for stretch in new {
            let next = PlacedStretch::after(own.last().or(last), self.mark, stretch);
            own.push(next);
        }
        last = own.last().or(last);
        let end = last.map_or((self.mark, 0), |last| {
            (last.start + last.stretch.bytes, last.item + last.items)
        });
        let (to, from) = (replaced.start + own.len(), old.start);
        drop(self.stretches.splice(replaced, own));
        if let Some((start, item)) = self.stretches.get(to).map(|next| (next.start, next.item))
            && (start, item) != end
        {
            let bytes = end.0 as isize - start as isize;
            let items = end.1 as isize - item as isize;
            for stretch in self.stretches.iter_mut().skip(to) {
                stretch.start = stretch.start.saturating_add_signed(bytes);
                stretch.item = stretch.item.saturating_add_signed(items);
            }
        }
        ReadAgain { old, new: from..end.1 }
    }

    /// Which stretches are replaced, by index, and the new ones; nothing where all are to be read.
    fn read_again(&self, text: &str, change: &Change) -> Option<Replacement> {
        let starts = &self.stretches;
        let changed =
            starts.partition_point(|own| own.start < change.range.start).checked_sub(1)?;
        // The one before counts the first line of the one that is changed; the header's does not.
        let from = changed.checked_sub(1)?.max(1);
        let kept = starts.partition_point(|own| own.start <= change.range.end);
        let first = starts.get(from)?.start;
        let mut window = 2;
        loop {
            let end = match starts.get(kept + window) {
                Some(next) => next.start - change.range.len() + change.bytes,
                None => text.len(),
            };
            let lines = lines::split(Piece { text: text.get(first..end)?, start: first });
            // What is left of a line without a body belongs to what stands above it.
            lines.first()?.body?;
            let mut outlined = outline_body(&lines);
            // From where a new stretch starts as an old one did, all is as it was.
            let meeting = outlined.iter().enumerate().find_map(|(count, new)| {
                let before = (new.start + change.range.len()).checked_sub(change.bytes)?;
                let rest = starts.get(kept..)?;
                let old = rest.binary_search_by_key(&before, |own| own.start).ok()?;
                Some((count, new.start, kept + old))
            });
            if meeting.is_none() && end < text.len() {
                window *= 4;
                continue;
            }
            let all = (outlined.len(), text.len(), starts.len());
            let (count, end, to) = meeting.unwrap_or(all);
            outlined.truncate(count);
            return self.replace(from..to, from < changed, outlined, end);
        }
    }

    /// The same with the rows of the new stretches read; `whole` says that the text of the first is as it
    /// was.
    fn replace(
        &self,
        replaced: Range<usize>,
        whole: bool,
        outlined: Vec<OutlinedStretch<'_>>,
        end: usize,
    ) -> Option<Replacement> {
        let old = self.stretches.get(replaced.clone())?.iter();
        let old: Vec<Arc<Stretch>> = old.map(|own| own.stretch.clone()).collect();
        // The rows of the whole file are read by the names of its instruments.
        if old.iter().flat_map(|old| &old.instruments).ne(&instruments(&outlined)) {
            return None;
        }
        let mut new = read_rows(outlined, &self.rows, end);
        if let (Some(old), Some(new)) = (old.first(), new.first_mut())
            && whole
            && new.is_as_before(old)
        {
            *new = old.clone();
        }
        share_prose(&old, &mut new);
        Some((replaced, new))
    }

    /// The header's lines, with their places counted from a byte at which the file starts.
    pub fn header(&self, start: usize) -> Vec<Setting> {
        let at = start + self.mark;
        let lines = self.stretches.first().into_iter().flat_map(|first| &first.stretch.header);
        lines.map(|line| line.moved(|byte| byte + at)).collect()
    }

    /// What follows the header, in a file that starts at a byte.
    pub fn items(&self, start: usize) -> impl Iterator<Item = Item> {
        self.items_from(0, start)
    }

    /// The items from an index on, in a file that starts at a byte.
    pub fn items_from(&self, index: usize, start: usize) -> impl Iterator<Item = Item> {
        let first = self.stretches.partition_point(|own| own.item + own.items <= index);
        let rest = self.stretches.get(first..).unwrap_or(&[]);
        let inside = rest.first().map_or(0, |first| index - first.item.min(index));
        let items = rest.iter().flat_map(move |own| {
            let at = start + own.start;
            own.stretch.items.iter().map(move |item| item.moved(|byte| byte + at))
        });
        items.skip(inside)
    }

    /// The items that include other files, by index.
    pub fn includes(&self) -> Vec<usize> {
        let including = self.stretches.iter().filter(|own| own.includes);
        let items = including.flat_map(|own| own.stretch.items.iter().zip(own.item..));
        let includes = items.filter(|(item, _)| matches!(item, Item::Include(_)));
        includes.map(|(_, index)| index).collect()
    }

    /// Tells what was found in a file that starts at a byte.
    pub fn report(&self, start: usize, diagnostics: &mut Diagnostics) {
        for own in self.stretches.iter().filter(|own| own.faulty) {
            diagnostics.absorb(own.stretch.found.clone(), start + own.start);
        }
    }
}

impl Stretch {
    /// Whether an unchanged text reads as it did before something after it was changed.
    fn is_as_before(&self, old: &Self) -> bool {
        let kinds = |stretch: &Self| -> Vec<_> {
            stretch.items.iter().map(std::mem::discriminant).collect()
        };
        self.bytes == old.bytes && kinds(self) == kinds(old) && self.found == old.found
    }
}

/// Makes blocks of prose that read as before the very same, so that they need not be set again: those
/// before the first that differs, and those after the last.
fn share_prose(old: &[Arc<Stretch>], new: &mut [Arc<Stretch>]) {
    fn blocks(stretches: &[Arc<Stretch>]) -> Vec<Arc<ProseBlock>> {
        let items = stretches.iter().flat_map(|stretch| &stretch.items);
        let prose = items.filter_map(|item| match item {
            Item::Prose(prose) => Some(prose.value.clone()),
            Item::Heading(_)
            | Item::Block(_)
            | Item::Include(_)
            | Item::FileStart(_)
            | Item::FileEnd => None,
        });
        prose.collect()
    }
    let (before, mut after) = (blocks(old), blocks(new));
    let same = |pair: &(&mut Arc<ProseBlock>, &Arc<ProseBlock>)| *pair.0 == *pair.1;
    after.iter_mut().zip(&before).take_while(same).for_each(|(new, old)| *new = old.clone());
    let rest = after.iter_mut().rev().zip(before.iter().rev());
    rest.take_while(same).for_each(|(new, old)| *new = old.clone());
    let mut shared = after.into_iter();
    for stretch in new {
        if !stretch.items.iter().any(|item| matches!(item, Item::Prose(_))) {
            continue;
        }
        for item in &mut Arc::make_mut(stretch).items {
            if let Item::Prose(prose) = item
                && let Some(own) = shared.next()
            {
                prose.value = own;
            }
        }
    }
}

/// A text cut where a heading or the head of a block stands under a blank line: there something begins,
/// whatever stands before it, so that the pieces can be read side by side. Code could hold such a line,
/// so a text with code is one piece.
fn pieces(whole: Piece<'_>) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    let mut from = 0;
    let has_code = whole.text.contains("```") || whole.text.contains("~~~");
    for (blank, ends) in whole.text.match_indices("\n\n").filter(|_| !has_code) {
        let at = blank + ends.len();
        if at < from + LEAST_PIECE {
            continue;
        }
        if begins(whole.text.get(at..).unwrap_or("")) {
            let text = whole.text.get(from..at).unwrap_or("");
            pieces.push(Piece { text, start: whole.start + from });
            from = at;
        }
    }
    let text = whole.text.get(from..).unwrap_or("");
    pieces.push(Piece { text, start: whole.start + from });
    pieces
}

/// Whether a text surely starts with a heading or with the head of a block.
fn begins(text: &str) -> bool {
    let Some((line, rest)) = text.split_once('\n') else { return false };
    if line.len() >= limits::LINE_CHARACTERS {
        return false;
    }
    let row = rest.trim_start_matches([' ', '\t']);
    let over_row = row.len() < rest.len() && row.starts_with(|c: char| c.is_ascii_alphanumeric());
    let short = rest.bytes().take(limits::LINE_CHARACTERS).any(|byte| byte == b'\n');
    line.starts_with('#')
        || (over_row && short && line.starts_with(|c: char| c.is_ascii_alphabetic()) && {
            let head =
                lines::split(Piece { text: line, start: 0 }).into_iter().find_map(|l| l.body);
            head.is_some_and(|body| {
                let head = BlockHead::read(body);
                head.exact.is_some() && head.is_whole()
            })
        })
}

/// The instruments of the kits of stretches.
fn instruments(stretches: &[OutlinedStretch<'_>]) -> Vec<String> {
    stretches.iter().flat_map(|stretch| stretch.instruments.iter().cloned()).collect()
}

/// Reads the rows of all blocks, side by side: none knows of another. The last stretch ends at `end`.
fn read_rows(outlined: Vec<OutlinedStretch<'_>>, rows: &Rows, end: usize) -> Vec<Arc<Stretch>> {
    let starts: Vec<usize> = outlined.iter().map(|stretch| stretch.start).collect();
    let ends = starts.into_iter().skip(1).chain([end]);
    let stretches = outlined.into_iter().zip(ends).collect();
    map_in_order(Each::Small, stretches, |(stretch, end): (OutlinedStretch<'_>, usize)| {
        Arc::new(stretch.read(rows, end))
    })
}

//! Rows cut into bars at their barlines.

use crate::interpret::codes;
use crate::score::Again;
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span, Spanned};
use crate::syntax::tree;
use crate::syntax::tree::{
    AcrossPart, BarSign, CellGroup, CountGroup, Entry, Spread, StickGroup, WordGroup,
};
use crate::syntax::written;
use std::rc::Rc;

/// A group with a place in the text.
pub(crate) trait RowGroup {
    /// Where it is written.
    fn span(&self) -> Span;
}

impl RowGroup for CellGroup {
    fn span(&self) -> Span {
        self.span
    }
}

impl RowGroup for StickGroup {
    fn span(&self) -> Span {
        self.span
    }
}

impl RowGroup for WordGroup {
    fn span(&self) -> Span {
        self.span
    }
}

impl RowGroup for CountGroup {
    fn span(&self) -> Span {
        match self {
            Self::Word(word) => word.span,
            Self::Division { span, .. } => *span,
        }
    }
}

/// A group that may be spread over several beats.
pub(crate) trait Spreads: RowGroup {
    fn spread(&self) -> Option<Spread>;

    /// Its cells as they are written.
    fn cells(&self) -> Vec<String>;

    /// It is a part of a group over a barline.
    fn across(&self) -> Option<AcrossPart>;
}

impl Spreads for CellGroup {
    fn spread(&self) -> Option<Spread> {
        self.spread.as_ref().map(|s| s.value)
    }

    fn cells(&self) -> Vec<String> {
        self.cells.iter().map(written::cell).collect()
    }

    fn across(&self) -> Option<AcrossPart> {
        self.across
    }
}

impl Spreads for StickGroup {
    fn spread(&self) -> Option<Spread> {
        None
    }

    fn cells(&self) -> Vec<String> {
        self.cells.iter().map(written::letter).collect()
    }

    fn across(&self) -> Option<AcrossPart> {
        None
    }
}

/// The groups of a bar, shared by the bars that repeat it.
pub(crate) type Groups<'a, T> = Rc<[&'a T]>;

/// Most groups of a bar that `%` repeats: more than any bar can hold.
const MOST_REPEATED: usize = 2048;

/// One of the bars that a `%`, `%2` or `%4` plays again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Same {
    /// Which, for the score.
    pub(crate) again: Again,
    /// The sign.
    pub(crate) span: Span,
}

/// The groups of one bar of one row.
#[derive(Clone, Debug)]
pub(crate) struct RawBar<'a, T> {
    pub(crate) groups: Groups<'a, T>,
    /// Played again: `groups` are those of a bar before.
    pub(crate) same: Option<Same>,
    /// The sign that closes it.
    pub(crate) closing: Option<Spanned<BarSign>>,
    /// A fault was found in it, so that its groups are not to be counted.
    pub(crate) damaged: bool,
    /// Its row begins and ends with a plain barline, as a table does.
    pub(crate) framed: bool,
    /// A repeat starts here.
    pub(crate) starts_repeat: Option<Span>,
    /// The groups, or what stands in their place.
    pub(crate) span: Span,
}

impl<T> RawBar<'_, T> {
    /// A bar without groups or signs.
    pub(crate) fn empty(starts_repeat: Option<Span>, span: Span) -> Self {
        let groups = Rc::new([]);
        Self {
            groups,
            same: None,
            closing: None,
            damaged: false,
            framed: false,
            starts_repeat,
            span,
        }
    }
}

impl<T: Spreads> RawBar<'_, T> {
    /// Over how much time each group is spread.
    pub(crate) fn spreads(&self) -> impl Iterator<Item = Option<Spread>> {
        self.groups.iter().map(|group| group.spread())
    }
}

/// A row cut into bars.
#[derive(Clone, Debug)]
pub(crate) struct RawRow<'a, T> {
    pub(crate) bars: Vec<RawBar<'a, T>>,
    /// Whether any barline is written.
    pub(crate) has_lines: bool,
    /// A repeat sign after the last bar, which starts in the next set.
    pub(crate) opens_next: Option<Span>,
}

impl<T> RawRow<'_, T> {
    /// Whether the row is one bar without a barline.
    pub(crate) fn is_one_group_run(&self) -> bool {
        !self.has_lines && self.bars.len() == 1
    }
}

/// Cuts a row into bars. Barlines at the row's start and end close nothing. `before` are the
/// row's last bars in the set before, for `%`; `first_bar` is the number of its first bar in the block.
pub(crate) fn cut<'a, T: RowGroup>(
    entries: &'a [Entry<T>],
    row: &str,
    row_span: Span,
    first_bar: usize,
    before: &[Groups<'a, T>],
    diagnostics: &mut Diagnostics,
) -> RawRow<'a, T> {
    let mut cutter = Cutter {
        row,
        first_bar,
        bars: Vec::new(),
        now: RawBar::empty(None, row_span),
        groups: Vec::new(),
        empty: true,
        has_lines: false,
        leads: false,
        begins_silent: begins_silent(entries),
    };
    for entry in entries {
        match entry {
            Entry::Group(group) => cutter.group(group, diagnostics),
            Entry::SameBar(same) => cutter.same_bar(same, diagnostics),
            Entry::Bar(sign) => cutter.barline(sign, diagnostics),
        }
    }
    let Cutter { mut bars, mut now, groups, empty, has_lines, leads, .. } = cutter;
    let mut opens_next = None;
    if empty {
        bars.iter_mut().for_each(|bar| bar.framed = leads);
        // What follows the last barline is no bar, but a repeat sign there opens the next set.
        opens_next = now.starts_repeat;
    } else {
        now.groups = groups.into();
        push(&mut bars, now);
    }
    copy_bars(&mut bars, row, first_bar, before, diagnostics);
    RawRow { bars, has_lines, opens_next }
}

/// A row that is being cut.
struct Cutter<'a, 'r, T> {
    row: &'r str,
    first_bar: usize,
    /// The bars that are closed.
    bars: Vec<RawBar<'a, T>>,
    /// The bar that is open, and its groups.
    now: RawBar<'a, T>,
    groups: Vec<&'a T>,
    /// Nothing stands in the open bar yet.
    empty: bool,
    has_lines: bool,
    /// A plain barline stands at the row's start.
    leads: bool,
    /// That barline ends a silent bar.
    begins_silent: bool,
}

/// Whether the first barline of a row ends a silent bar, as the second does: `| | s.ss`. Where the row ends
/// with a barline too, its bars stand between the lines.
fn begins_silent<T>(entries: &[Entry<T>]) -> bool {
    let single = |entry: Option<&Entry<T>>| match entry {
        Some(Entry::Bar(sign)) => sign.value == BarSign::Single,
        Some(Entry::Group(_) | Entry::SameBar(_)) | None => false,
    };
    let ends_open = !matches!(entries.last(), Some(Entry::Bar(_)));
    single(entries.first()) && single(entries.get(1)) && ends_open
}

impl<'a, T: RowGroup> Cutter<'a, '_, T> {
    fn extend(&mut self, span: Span) {
        self.now.span = if self.empty { span } else { self.now.span.join(span) };
    }

    fn group(&mut self, group: &'a T, diagnostics: &mut Diagnostics) {
        self.extend(group.span());
        self.empty = false;
        if self.now.same.take().is_some() {
            self.report_same(group.span().start(), diagnostics);
        }
        self.groups.push(group);
    }

    fn same_bar(&mut self, same: &tree::SameBar, diagnostics: &mut Diagnostics) {
        let tree::SameBar { bars, span } = *same;
        self.extend(span);
        if self.empty {
            self.now.same = Some(Same { again: Again { bars, part: 0 }, span });
        } else {
            self.report_same(span.start(), diagnostics);
        }
        self.empty = false;
    }

    /// Reports a `%` that shares its bar; a barline at a place would part them.
    fn report_same(&mut self, at: usize, diagnostics: &mut Diagnostics) {
        self.now.damaged = true;
        let place = RowBar { row: self.row, bar: Some(self.first_bar + self.bars.len()) };
        let message = format!("{place}: `%` repeats the bar before and stands alone in its bar");
        let mend = "put a `|` between them, or leave one out";
        diagnostics.error(self.now.span, message).code(codes::SAME_BAR_SHARED).replace(
            Span::new(at, at),
            "| ",
            mend,
        );
    }

    fn barline(&mut self, sign: &Spanned<BarSign>, diagnostics: &mut Diagnostics) {
        let (starts, ends) = match sign.value {
            BarSign::Single | BarSign::Double => (None, false),
            BarSign::RepeatStart => (Some(sign.span), false),
            BarSign::RepeatEnd { .. } => (None, true),
            BarSign::RepeatBoth { .. } => (Some(sign.span), true),
        };
        let first = self.empty && self.bars.is_empty() && !self.has_lines;
        let leading = first && !self.begins_silent;
        self.has_lines = true;
        if leading {
            if ends {
                let message = format!("`{}`: nothing stands before this repeat", self.row);
                diagnostics
                    .error(sign.span, message)
                    .code(codes::REPEAT_OF_NOTHING)
                    .mend("write `|:` where the repeat starts");
            }
            self.now.starts_repeat = starts;
            self.leads = sign.value == BarSign::Single;
            return;
        }
        if self.empty {
            // `:| |:` and `:| x3 |` are one barline: a start right after a line opens the bar it
            // began, and a line right after a repeat closes nothing more.
            if sign.value == BarSign::RepeatStart && self.now.starts_repeat.is_none() {
                self.now.starts_repeat = starts;
                return;
            }
            if sign.value == BarSign::Single && ends_repeat(self.bars.last()) {
                return;
            }
            self.now.span = sign.span;
        }
        self.now.closing = Some(sign.clone());
        self.now.groups = std::mem::take(&mut self.groups).into();
        let closed = std::mem::replace(&mut self.now, RawBar::empty(starts, sign.span));
        push(&mut self.bars, closed);
        self.empty = true;
    }
}

/// Adds a bar as it is written: a sign for several bars is as many bars.
fn push<'a, T>(bars: &mut Vec<RawBar<'a, T>>, bar: RawBar<'a, T>) {
    let Some(same) = bar.same.filter(|same| same.again.bars > 1) else {
        bars.push(bar);
        return;
    };
    let (starts, closing) = (bar.starts_repeat, bar.closing);
    for part in 0..same.again.bars {
        let same = Same { again: Again { part, ..same.again }, ..same };
        let mut one = RawBar::empty(starts.filter(|_| part == 0), bar.span);
        one.same = Some(same);
        one.damaged = bar.damaged;
        one.closing = closing.clone().filter(|_| part + 1 == same.again.bars);
        bars.push(one);
    }
}

fn ends_repeat<T>(bar: Option<&RawBar<'_, T>>) -> bool {
    let closing = bar.and_then(|bar| bar.closing.as_ref());
    closing.is_some_and(|sign| match sign.value {
        BarSign::RepeatEnd { .. } => true,
        BarSign::Single | BarSign::Double | BarSign::RepeatStart | BarSign::RepeatBoth { .. } => {
            false
        }
    })
}

/// Puts the groups of the bar before in the place of each `%`.
fn copy_bars<'a, T: RowGroup>(
    bars: &mut [RawBar<'a, T>],
    row: &str,
    first_bar: usize,
    before: &[Groups<'a, T>],
    diagnostics: &mut Diagnostics,
) {
    let mut played: Vec<Groups<'a, T>> = before.to_vec();
    for (index, bar) in bars.iter_mut().enumerate() {
        if let Some(Same { again, span }) = bar.same {
            let back = played.len().checked_sub(again.bars.into());
            match back.and_then(|back| played.get(back)) {
                Some(groups) if groups.len() <= MOST_REPEATED => bar.groups = groups.clone(),
                Some(_) => bar.damaged = true,
                None => {
                    bar.damaged = true;
                    if again.part == 0 {
                        let place = RowBar { row, bar: Some(first_bar + index) };
                        none_before(place, again.bars, span, diagnostics);
                    }
                }
            }
        }
        played.push(bar.groups.clone());
    }
}

/// Reports a sign that repeats more bars than stand before it.
fn none_before(place: RowBar<'_>, bars: u8, span: Span, diagnostics: &mut Diagnostics) {
    let (what, mend) = match bars {
        1 => ("no bar stands before this `%`".to_owned(), "write the bar out"),
        n => (
            format!("no {} bars stand before this `%{n}`", say::number(n.into())),
            "write the bars out",
        ),
    };
    diagnostics.error(span, format!("{place}: {what}")).code(codes::SAME_BAR_FIRST).mend(mend);
}

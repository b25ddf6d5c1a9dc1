//! Rows cut into bars at their barlines.

use crate::score::Again;
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span, Spanned};
use crate::syntax::tree;
use crate::syntax::tree::{BarSign, CellGroup, CountGroup, Entry, StickGroup, WordGroup};
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
    /// A repeat starts here.
    pub(crate) starts_repeat: Option<Span>,
    /// The groups, or what stands in their place.
    pub(crate) span: Span,
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
    let mut bars: Vec<RawBar<'a, T>> = Vec::new();
    let mut now = fresh(None, row_span);
    let mut groups: Vec<&'a T> = Vec::new();
    let mut empty = true;
    let mut has_lines = false;
    let mut opens_next = None;
    for entry in entries {
        match entry {
            Entry::Group(group) => {
                now.span = if empty { group.span() } else { now.span.join(group.span()) };
                empty = false;
                if now.same.is_some() {
                    stands_alone(now.span, row, first_bar + bars.len(), diagnostics);
                    now.same = None;
                    now.damaged = true;
                }
                groups.push(group);
            }
            Entry::SameBar(tree::SameBar { bars: count, span }) => {
                now.span = if empty { *span } else { now.span.join(*span) };
                if !empty {
                    stands_alone(now.span, row, first_bar + bars.len(), diagnostics);
                    now.damaged = true;
                } else {
                    let again = Again { bars: *count, part: 0 };
                    now.same = Some(Same { again, span: *span });
                }
                empty = false;
            }
            Entry::Bar(sign) => {
                let starts =
                    matches!(sign.value, BarSign::RepeatStart | BarSign::RepeatBoth { .. })
                        .then_some(sign.span);
                let leading = empty && bars.is_empty() && !has_lines;
                has_lines = true;
                if leading {
                    if matches!(sign.value, BarSign::RepeatEnd { .. } | BarSign::RepeatBoth { .. })
                    {
                        diagnostics
                            .error(sign.span, format!("`{row}`: nothing stands before this repeat"))
                            .mend("write `|:` where the repeat starts");
                    }
                    now.starts_repeat = starts;
                    continue;
                }
                // `:| |:` and `:| x3 |` are one barline: a start right after a line opens the bar it
                // began, and a line right after a repeat closes nothing more.
                if empty && sign.value == BarSign::RepeatStart && now.starts_repeat.is_none() {
                    now.starts_repeat = starts;
                    continue;
                }
                if empty && sign.value == BarSign::Single && ends_repeat(bars.last()) {
                    continue;
                }
                if empty {
                    now.span = sign.span;
                }
                now.closing = Some(sign.clone());
                now.groups = std::mem::take(&mut groups).into();
                push(&mut bars, std::mem::replace(&mut now, fresh(starts, sign.span)));
                empty = true;
            }
        }
    }
    if empty {
        // What follows the last barline is no bar, but a repeat sign there opens the next set.
        if !bars.is_empty() || now.starts_repeat.is_some() {
            opens_next = now.starts_repeat;
        }
    } else {
        now.groups = groups.into();
        push(&mut bars, now);
    }
    copy_bars(&mut bars, row, first_bar, before, diagnostics);
    RawRow { bars, has_lines, opens_next }
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
        let mut one = fresh(starts.filter(|_| part == 0), bar.span);
        one.same = Some(same);
        one.damaged = bar.damaged;
        one.closing = closing.clone().filter(|_| part + 1 == same.again.bars);
        bars.push(one);
    }
}

fn ends_repeat<T>(bar: Option<&RawBar<'_, T>>) -> bool {
    let closing = bar.and_then(|bar| bar.closing.as_ref());
    closing.is_some_and(|sign| matches!(sign.value, BarSign::RepeatEnd { .. }))
}

fn fresh<'a, T>(starts_repeat: Option<Span>, span: Span) -> RawBar<'a, T> {
    RawBar { groups: Rc::new([]), same: None, closing: None, damaged: false, starts_repeat, span }
}

fn stands_alone(span: Span, row: &str, bar: usize, diagnostics: &mut Diagnostics) {
    let place = RowBar { row, bar: Some(bar) };
    diagnostics
        .error(span, format!("{place}: `%` repeats the bar before and stands alone in its bar"))
        .mend("put a `|` between them, or leave one out");
}

/// Puts the groups of the bar before in the place of each `%`.
fn copy_bars<'a, T: RowGroup>(
    bars: &mut [RawBar<'a, T>],
    row: &str,
    first_bar: usize,
    before: &[Groups<'a, T>],
    diagnostics: &mut Diagnostics,
) {
    let mut heard: Vec<Groups<'a, T>> = before.to_vec();
    for (index, bar) in bars.iter_mut().enumerate() {
        if let Some(Same { again, span }) = bar.same {
            let back = heard.len().checked_sub(again.bars.into());
            match back.and_then(|back| heard.get(back)) {
                Some(groups) if groups.len() <= MOST_REPEATED => bar.groups = groups.clone(),
                Some(_) => bar.damaged = true,
                None => {
                    bar.damaged = true;
                    let place = RowBar { row, bar: Some(first_bar + index) };
                    let (what, mend) = match again.bars {
                        1 => ("no bar stands before this `%`".to_owned(), "write the bar out"),
                        n => (
                            format!("no {} bars stand before this `%{n}`", say::number(n.into())),
                            "write the bars out",
                        ),
                    };
                    if again.part == 0 {
                        diagnostics.error(span, format!("{place}: {what}")).mend(mend);
                    }
                }
            }
        }
        heard.push(bar.groups.clone());
    }
}

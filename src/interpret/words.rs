//! Dynamics, words under the notes, and marks over the staff.

use crate::interpret::bar_draft::BarDraft;
use crate::interpret::bars::{RawBar, RawRow};
use crate::interpret::marks;
use crate::interpret::ruler::{Extent, Ruler};
use crate::score::Time;
use crate::score::dynamic::Letters;
use crate::score::{Dynamic, DynamicKind, Mark, MarkKind, Words};
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span, nearest};
use crate::syntax::tree::WordGroup;

/// A row of words over the bars of a set.
#[derive(Clone, Copy)]
pub(crate) struct WordRow<'a> {
    pub(crate) name: &'a str,
    pub(crate) raw: &'a RawRow<'a, WordGroup>,
    pub(crate) damaged: bool,
    /// The first bar of the set in its block, from zero.
    pub(crate) first: usize,
    pub(crate) bars_in_block: usize,
}

impl<'a> WordRow<'a> {
    fn place(&self, bar: usize) -> RowBar<'a> {
        RowBar { row: self.name, bar: (self.bars_in_block > 1).then_some(self.first + bar + 1) }
    }

    /// The groups of each bar with their stretches from the bar's start; a group past the end of
    /// the bar is a fault.
    fn by_beats(
        &self,
        drafts: &[BarDraft],
        diagnostics: &mut Diagnostics,
    ) -> Vec<(usize, &'a WordGroup, Extent)> {
        let mut placed = Vec::new();
        for (bar, (raw, draft)) in self.raw.bars.iter().zip(drafts).enumerate() {
            let lots =
                Ruler::new(&draft.meter).lay(raw.groups.iter().map(|g| spread(g)), draft.offset);
            let mut over: Option<(Span, usize)> = None;
            for (group, lot) in raw.groups.iter().zip(lots) {
                if lot.start >= draft.end() {
                    over = Some(over.map_or((group.span, 1), |(s, n)| (s.join(group.span), n + 1)));
                    continue;
                }
                let lot = Extent { start: lot.start - draft.offset, end: lot.end - draft.offset };
                placed.push((bar, *group, lot));
            }
            if let Some((span, n)) = over.filter(|_| !self.damaged && raw.same.is_none()) {
                self.too_many(bar, raw, n, span, diagnostics);
            }
        }
        placed
    }

    fn too_many(
        &self,
        bar: usize,
        raw: &RawBar<'_, WordGroup>,
        over: usize,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) {
        let what = match over {
            1 => "the last one is past the end of the bar".to_owned(),
            n => format!("the last {} are past the end of the bar", say::number(n)),
        };
        let groups = say::several(raw.groups.len(), "word");
        diagnostics.error(span, format!("{}: {groups}; {what}", self.place(bar))).mend(
            "each word takes one beat, `.` passes a beat over; put a `|` where a new bar begins",
        );
    }

    /// Deals dynamics by beats, or where the block is counted first to its syllables.
    pub(crate) fn dynamics(
        &self,
        drafts: &[BarDraft],
        slots: Option<&[Vec<Time>]>,
        diagnostics: &mut Diagnostics,
    ) -> Vec<Vec<Dynamic>> {
        let mut dealt: Vec<Vec<Dynamic>> = vec![Vec::new(); drafts.len()];
        let placed: Vec<(usize, &WordGroup, Time)> = match slots {
            None => self
                .by_beats(drafts, diagnostics)
                .into_iter()
                .map(|(bar, group, lot)| (bar, group, lot.start))
                .collect(),
            Some(slots) => self.one_by_one(slots, "syllable", diagnostics),
        };
        let mut open: Option<Span> = None;
        for (bar, group, at) in placed {
            for part in &group.parts {
                let (word, span) = (part.word.value.as_str(), part.word.span);
                let kind = match word {
                    "." => continue,
                    "<" => DynamicKind::Louder,
                    ">" => DynamicKind::Softer,
                    "!" => DynamicKind::End,
                    _ => match Letters::read(word) {
                        Some(letters) => DynamicKind::Letters(letters),
                        None => {
                            self.unknown_dynamic(bar, word, span, diagnostics);
                            continue;
                        }
                    },
                };
                match kind {
                    DynamicKind::Louder | DynamicKind::Softer => open = Some(span),
                    DynamicKind::End if open.take().is_none() => {
                        diagnostics
                            .error(
                                span,
                                format!(
                                    "{}: no hairpin is open for this `!` to end",
                                    self.place(bar)
                                ),
                            )
                            .mend("open one with `<` or `>`, or leave the `!` out");
                        continue;
                    }
                    _ => open = None,
                }
                dealt[bar].push(Dynamic { at, kind, span });
            }
        }
        if let Some(span) = open {
            diagnostics
                .warning(
                    span,
                    format!("`{}`: this hairpin does not end; it runs to the last bar", self.name),
                )
                .mend("end it with a dynamic such as `f`, or with `!`");
        }
        dealt
    }

    fn unknown_dynamic(&self, bar: usize, word: &str, span: Span, diagnostics: &mut Diagnostics) {
        let lower = word.to_lowercase();
        let near = match Letters::read(&lower) {
            Some(_) => Some(lower),
            None => nearest(word, Letters::all()),
        };
        let mend = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => "write dynamics such as `p`, `mf`, `sfz`, hairpins `<` and `>`, or `!` for a hairpin's end; other words go in a `say` or `mark` row".to_owned(),
        };
        diagnostics.error(span, format!("{}: `{word}` is no dynamic", self.place(bar))).mend(mend);
    }

    /// Deals words under the hits of the bars, one by one.
    pub(crate) fn words(
        &self,
        drafts: &[BarDraft],
        hits: &[Vec<Time>],
        diagnostics: &mut Diagnostics,
    ) -> Vec<Vec<Words>> {
        let mut dealt: Vec<Vec<Words>> = vec![Vec::new(); drafts.len()];
        let trusted = !drafts.iter().any(|d| d.broken);
        let mut quiet = Diagnostics::default();
        let heard = if trusted { diagnostics } else { &mut quiet };
        for (bar, group, at) in self.one_by_one(hits, "hit", heard) {
            let parts: Vec<&str> = group
                .parts
                .iter()
                .filter(|p| p.quoted || p.word.value != ".")
                .map(|p| p.word.value.as_str())
                .collect();
            if !parts.is_empty() {
                dealt[bar].push(Words { at, text: parts.join(" "), span: group.span });
            }
        }
        dealt
    }

    /// Deals groups to places: bar by bar where the row has barlines, else straight on. Fewer
    /// groups than places are no fault.
    fn one_by_one(
        &self,
        places: &[Vec<Time>],
        thing: &str,
        diagnostics: &mut Diagnostics,
    ) -> Vec<(usize, &'a WordGroup, Time)> {
        let mut dealt = Vec::new();
        let report =
            |bar: Option<usize>, groups: &[&WordGroup], n: usize, diagnostics: &mut Diagnostics| {
                let Some(over) = groups.get(n..).filter(|o| !o.is_empty() && !self.damaged) else {
                    return;
                };
                let span = over.iter().fold(over[0].span, |all, g| all.join(g.span));
                let place = match bar {
                    Some(bar) => self.place(bar),
                    None => RowBar { row: self.name, bar: None },
                };
                diagnostics
                    .error(
                        span,
                        format!(
                            "{place}: {} for {}",
                            say::several(groups.len(), "word"),
                            say::several(n, thing)
                        ),
                    )
                    .mend("take the last ones out; words that belong together go in quotes");
            };
        if self.raw.has_lines {
            for (bar, (raw, places)) in self.raw.bars.iter().zip(places).enumerate() {
                dealt.extend(raw.groups.iter().zip(places).map(|(g, at)| (bar, *g, *at)));
                if raw.same.is_none() {
                    report(Some(bar), &raw.groups, places.len(), diagnostics);
                }
            }
        } else if let Some(raw) = self.raw.bars.first() {
            let all: Vec<(usize, Time)> = places
                .iter()
                .enumerate()
                .flat_map(|(bar, times)| times.iter().map(move |at| (bar, *at)))
                .collect();
            dealt.extend(raw.groups.iter().zip(&all).map(|(g, (bar, at))| (*bar, *g, *at)));
            report(None, &raw.groups, all.len(), diagnostics);
        }
        dealt
    }

    /// Reads marks at their beats.
    pub(crate) fn marks(
        &self,
        drafts: &[BarDraft],
        diagnostics: &mut Diagnostics,
    ) -> Vec<Vec<Mark>> {
        let mut dealt: Vec<Vec<Mark>> = vec![Vec::new(); drafts.len()];
        for (bar, group, lot) in self.by_beats(drafts, diagnostics) {
            for part in &group.parts {
                let span = part.word.span;
                if !part.quoted && part.word.value == "." {
                    continue;
                }
                match marks::read(&part.word.value, part.quoted, &drafts[bar].meter) {
                    Ok(kind) => dealt[bar].push(Mark { at: lot.start, kind, span }),
                    Err(mend) => {
                        let message =
                            format!("{}: `{}` is no mark", self.place(bar), part.word.value);
                        diagnostics.error(span, message).mend(mend);
                    }
                }
            }
        }
        dealt
    }
}

fn spread(group: &WordGroup) -> Option<crate::syntax::tree::Spread> {
    group.spread.as_ref().map(|s| s.value)
}

/// Marks that open a set whose tempo or feel differ from the set before.
pub(crate) fn opening_marks(kinds: Vec<MarkKind>, span: Span) -> Vec<Mark> {
    kinds.into_iter().map(|kind| Mark { at: Time::ZERO, kind, span }).collect()
}

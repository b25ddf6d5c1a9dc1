//! Rows of words under and over the notes: how each is placed in time, and what its words become.

use crate::interpret::bar_draft::BarDraft;
use crate::interpret::bars::{RawBar, RawRow};
use crate::interpret::codes;
use crate::interpret::cues;
use crate::interpret::dynamics;
use crate::interpret::finish::Extras;
use crate::interpret::marks;
use crate::interpret::ruler::Ruler;
use crate::interpret::voice_draft::VoiceDraft;
use crate::score::dynamic::GradualSign;
use crate::score::{Dynamic, DynamicKind, Mark, MarkKind, Time, Words, WordsRow};
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{QuotableWord, WordCell, WordGroup};

/// How a row of words is handled.
struct Handling {
    at: PlacedAt,
    becomes: Becomes,
    /// Whether several such rows can stand in one set.
    repeats: bool,
}

/// What the groups of a row are placed at, one by one.
enum PlacedAt {
    /// The beats.
    Beats,
    /// The syllables where the set is counted first, else the beats.
    Syllables,
    /// The hits.
    Hits,
}

/// What the words of a row become, and where they are kept.
enum Becomes {
    Dynamics,
    UnderNotes,
    Marks,
    Cues,
}

/// The one place that knows what a row of words is.
fn handling(row: WordsRow) -> Handling {
    match row {
        WordsRow::Dyn => {
            Handling { at: PlacedAt::Syllables, becomes: Becomes::Dynamics, repeats: false }
        }
        WordsRow::Say => {
            Handling { at: PlacedAt::Hits, becomes: Becomes::UnderNotes, repeats: false }
        }
        WordsRow::Mark => Handling { at: PlacedAt::Beats, becomes: Becomes::Marks, repeats: true },
        WordsRow::Cue => Handling { at: PlacedAt::Beats, becomes: Becomes::Cues, repeats: false },
    }
}

/// Whether several such rows can stand in one set.
pub(crate) fn may_repeat(row: WordsRow) -> bool {
    handling(row).repeats
}

/// A row of words over the bars of a set.
#[derive(Clone, Copy)]
pub(crate) struct WordsOfSet<'a> {
    pub(crate) name: &'a str,
    pub(crate) row: WordsRow,
    pub(crate) raw: &'a RawRow<'a, WordGroup>,
    pub(crate) damaged: bool,
    /// The first bar of the set in its block, from zero.
    pub(crate) first: usize,
    pub(crate) bars_in_block: usize,
}

/// What the words of a set can be placed at: its bars, their syllables where it is counted first,
/// and their voices.
#[derive(Clone, Copy)]
pub(crate) struct SetTimes<'a> {
    pub(crate) drafts: &'a [BarDraft],
    pub(crate) slots: Option<&'a [Vec<Time>]>,
    pub(crate) merged: &'a [[VoiceDraft; 2]],
}

/// Words at their time in their bar.
#[derive(Clone, Copy)]
struct PlacedWords<'a> {
    bar: usize,
    parts: &'a [QuotableWord],
    at: Time,
}

/// The place of a group: its bar, its time in it, and the time of what comes next.
#[derive(Clone, Copy)]
struct WordPlace {
    bar: usize,
    at: Time,
    end: Time,
}

impl WordPlace {
    /// Places what stands in a group; cells in brackets share its place equally.
    fn lay<'a>(self, cell: &'a WordCell, placed: &mut Vec<PlacedWords<'a>>) {
        match cell {
            WordCell::Words(parts) => {
                placed.push(PlacedWords { bar: self.bar, parts, at: self.at });
            }
            WordCell::Split(cells) => {
                let step = (self.end - self.at) / cells.len().max(1) as i64;
                for (number, cell) in cells.iter().enumerate() {
                    let at = self.at + step * number as i64;
                    Self { at, end: at + step, ..self }.lay(cell, placed);
                }
            }
        }
    }
}

/// The places of a bar that begin at some times; the last one ends with the bar.
fn word_places(bar: usize, times: &[Time], length: Time) -> impl Iterator<Item = WordPlace> {
    let ends = times.iter().skip(1).copied().chain([length]);
    times.iter().zip(ends).map(move |(at, end)| WordPlace { bar, at: *at, end })
}

impl<'a> WordsOfSet<'a> {
    /// Adds what the row says to its bars.
    pub(crate) fn add(
        &self,
        places: SetTimes<'_>,
        extras: &mut [Extras],
        diagnostics: &mut Diagnostics,
    ) {
        let Handling { at, becomes, repeats: _ } = handling(self.row);
        let placed = match (at, places.slots) {
            (PlacedAt::Syllables, Some(slots)) => {
                self.one_by_one((slots, places.drafts), "syllable", diagnostics)
            }
            (PlacedAt::Beats | PlacedAt::Syllables, _) => self.by_beats(places.drafts, diagnostics),
            (PlacedAt::Hits, _) => self.by_hits(places, diagnostics),
        };
        match becomes {
            Becomes::Dynamics => self.dynamics(&placed, extras, diagnostics),
            Becomes::UnderNotes => under_notes(&placed, extras),
            Becomes::Marks => self.marks(&placed, places.drafts, extras, diagnostics),
            Becomes::Cues => {
                let placed = placed.iter().map(|words| (words.bar, words.parts, words.at));
                cues::read(placed, |bar| self.place(bar), extras, diagnostics);
            }
        }
    }

    /// Where a bar of the row is, for faults.
    fn place(&self, bar: usize) -> RowBar<'a> {
        RowBar { row: self.name, bar: (self.bars_in_block > 1).then_some(self.first + bar + 1) }
    }

    /// Places groups at the beats of the bars; a group past the end of its bar is a fault.
    fn by_beats(&self, drafts: &[BarDraft], diagnostics: &mut Diagnostics) -> Vec<PlacedWords<'a>> {
        let mut placed = Vec::new();
        for (bar, (raw, draft)) in self.raw.bars.iter().zip(drafts).enumerate() {
            let extents =
                Ruler::new(&draft.meter).lay(raw.groups.iter().map(|g| spread(g)), draft.offset);
            let mut over: Option<(Span, usize)> = None;
            for (group, extent) in raw.groups.iter().zip(extents) {
                if extent.start >= draft.end() {
                    over = Some(over.map_or((group.span, 1), |(s, n)| (s.join(group.span), n + 1)));
                    continue;
                }
                let at = extent.start - draft.offset;
                let end = extent.end.min(draft.end()) - draft.offset;
                WordPlace { bar, at, end }.lay(&group.cell, &mut placed);
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
        diagnostics
            .error(span, format!("{}: {groups}; {what}", self.place(bar)))
            .code(codes::WORDS_TOO_MANY)
            .mend("each word takes one beat, `.` passes a beat over; put a `|` where a new bar begins");
    }

    /// Places groups at the hits of the bars. Where something in them could not be understood they
    /// are not counted.
    fn by_hits(&self, places: SetTimes<'_>, diagnostics: &mut Diagnostics) -> Vec<PlacedWords<'a>> {
        let hits: Vec<Vec<Time>> = places.merged.iter().map(struck_times).collect();
        let trusted = !places.drafts.iter().any(|draft| draft.broken);
        let mut quiet = Diagnostics::default();
        let places = (&hits[..], places.drafts);
        self.one_by_one(places, "hit", if trusted { diagnostics } else { &mut quiet })
    }

    /// Places groups at times: bar by bar where the row has barlines, else straight on. Fewer
    /// groups than places are no fault.
    fn one_by_one(
        &self,
        (places, drafts): (&[Vec<Time>], &[BarDraft]),
        thing: &str,
        diagnostics: &mut Diagnostics,
    ) -> Vec<PlacedWords<'a>> {
        let mut placed = Vec::new();
        let report =
            |bar: Option<usize>, groups: &[&WordGroup], n: usize, diagnostics: &mut Diagnostics| {
                // A bar without places may have a dot, which passes it over.
                let silent = n == 0 && groups.iter().all(|group| is_silent(group));
                let over = groups.get(n..).filter(|o| !o.is_empty() && !self.damaged && !silent);
                let Some(over) = over else { return };
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
                    .code(codes::WORDS_TOO_MANY)
                    .mend("take the last ones out; words that belong together go in quotes");
            };
        if self.raw.has_lines {
            let bars = self.raw.bars.iter().zip(places.iter().zip(drafts));
            for (bar, (raw, (places, draft))) in bars.enumerate() {
                let own = word_places(bar, places, draft.length);
                raw.groups.iter().zip(own).for_each(|(g, at)| at.lay(&g.cell, &mut placed));
                if raw.same.is_none() {
                    report(Some(bar), &raw.groups, places.len(), diagnostics);
                }
            }
        } else if let Some(raw) = self.raw.bars.first() {
            let bars = places.iter().zip(drafts).enumerate();
            let all: Vec<WordPlace> = bars
                .flat_map(|(bar, (times, draft))| word_places(bar, times, draft.length))
                .collect();
            raw.groups.iter().zip(&all).for_each(|(g, at)| at.lay(&g.cell, &mut placed));
            report(None, &raw.groups, all.len(), diagnostics);
        }
        placed
    }

    /// Reads dynamics and hairpins.
    fn dynamics(
        &self,
        placed: &[PlacedWords<'_>],
        extras: &mut [Extras],
        diagnostics: &mut Diagnostics,
    ) {
        let mut open: Option<(Span, GradualSign)> = None;
        for PlacedWords { bar, parts, at } in placed {
            for part in *parts {
                let (word, span) = (part.word.value.as_str(), part.word.span);
                if word == "." {
                    continue;
                }
                let kind = match dynamics::read(word, span) {
                    Ok(kind) => kind,
                    Err(wrong) => {
                        let message = format!("{}: `{word}` is not a dynamic", self.place(*bar));
                        wrong.mend(diagnostics.error(span, message).code(codes::DYNAMIC_UNKNOWN));
                        continue;
                    }
                };
                let stands = match kind {
                    DynamicKind::Louder(sign) | DynamicKind::Softer(sign) => {
                        open = Some((span, sign));
                        true
                    }
                    DynamicKind::End => open.take().is_some(),
                    DynamicKind::Letters(_) => {
                        open = None;
                        true
                    }
                };
                if !stands {
                    let place = self.place(*bar);
                    diagnostics
                        .error(span, format!("{place}: no hairpin is open for this `!` to end"))
                        .code(codes::HAIRPIN_END)
                        .mend("open one with `<`, `>`, `cresc` or `dim`, or leave the `!` out");
                } else if let Some(extra) = extras.get_mut(*bar) {
                    extra.dynamics.push(Dynamic { at: *at, kind, span });
                }
            }
        }
        if let Some((span, sign)) = open {
            let name = self.name;
            let what = match sign {
                GradualSign::Hairpin => "this hairpin does not end; it runs",
                GradualSign::Words => "these dashes do not end; they run",
            };
            diagnostics
                .warning(span, format!("`{name}`: {what} to the last bar"))
                .code(codes::HAIRPIN_OPEN)
                .mend("end it with a dynamic such as `f`, or with `!`");
        }
    }

    /// Reads marks.
    fn marks(
        &self,
        placed: &[PlacedWords<'_>],
        drafts: &[BarDraft],
        extras: &mut [Extras],
        diagnostics: &mut Diagnostics,
    ) {
        for PlacedWords { bar, parts, at } in placed {
            let (Some(draft), Some(extra)) = (drafts.get(*bar), extras.get_mut(*bar)) else {
                continue;
            };
            for part in *parts {
                let span = part.word.span;
                if !part.quoted && part.word.value == "." {
                    continue;
                }
                match marks::read(&part.word.value, part.quoted, &draft.meter) {
                    Ok(kind) => extra.marks.push(Mark { at: *at, kind, span }),
                    Err(mend) => {
                        let message =
                            format!("{}: `{}` is not a mark", self.place(*bar), part.word.value);
                        diagnostics.error(span, message).code(codes::MARK_UNKNOWN).mend(mend);
                    }
                }
            }
        }
    }
}

/// Whether a group says nothing.
fn is_silent(group: &WordGroup) -> bool {
    fn says_nothing(cell: &WordCell) -> bool {
        match cell {
            WordCell::Words(words) => words.iter().all(|w| !w.quoted && w.word.value == "."),
            WordCell::Split(cells) => cells.iter().all(says_nothing),
        }
    }
    says_nothing(&group.cell)
}

/// Keeps words under the notes.
fn under_notes(placed: &[PlacedWords<'_>], extras: &mut [Extras]) {
    for PlacedWords { bar, parts, at } in placed {
        let said: Vec<&QuotableWord> =
            parts.iter().filter(|p| p.quoted || p.word.value != ".").collect();
        let span = said.iter().map(|p| p.word.span).reduce(Span::join);
        if let (Some(extra), Some(span)) = (extras.get_mut(*bar), span) {
            let text: Vec<&str> = said.iter().map(|p| p.word.value.as_str()).collect();
            extra.words.push(Words { at: *at, text: text.join(" "), span });
        }
    }
}

fn struck_times(voices: &[VoiceDraft; 2]) -> Vec<Time> {
    let hits = voices.iter().flat_map(|v| v.hits.iter());
    let mut times: Vec<Time> = hits.filter(|m| !m.hit.continued).map(|m| m.hit.at).collect();
    times.sort();
    times.dedup();
    times
}

fn spread(group: &WordGroup) -> Option<crate::syntax::tree::Spread> {
    group.spread.as_ref().map(|s| s.value)
}

/// Marks that open a set whose tempo or feel differ from the set before.
pub(crate) fn opening_marks(kinds: Vec<MarkKind>, span: Span) -> Vec<Mark> {
    kinds.into_iter().map(|kind| Mark { at: Time::ZERO, kind, span }).collect()
}

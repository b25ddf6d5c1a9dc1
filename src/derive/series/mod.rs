//! Series: exercises made by a rule, one after another.

mod count;
mod exercises;
mod lines;
pub(crate) mod rule;

use crate::derive::hands;
use crate::derive::hands::StickRule;
use crate::derive::made::{Made, Maker, Plain, reach};
use crate::derive::variation::phrase::Phrase;
use crate::derive::variation::write;
use crate::perform::playable;
use crate::score::BlockWord;
use crate::score::Closing;
use crate::source::say;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree;
use crate::syntax::tree::Setting;
use lines::Lines;
use rule::MOST_TRIED;

/// Most exercises of one series.
const MOST: usize = 2_000;
/// Most notes of a phrase that is turned.
const MOST_TURNED: usize = 256;
/// Most bars of a series.
const MOST_BARS: usize = 4_000;

impl Maker<'_> {
    /// A series in plain rows: one block, with a bar or more for each exercise, numbered over the
    /// staff.
    pub(crate) fn series(
        &self,
        block: &tree::Block,
        diagnostics: &mut Diagnostics,
    ) -> Option<Made> {
        let what = match &block.name {
            Some(name) => format!("series `{}`", name.value),
            None => "series".to_owned(),
        };
        let lines = self.lines(&what, block, diagnostics)?;
        let mut keys = Vec::new();
        let mut steps = Vec::new();
        let mut sticking = self.context.setup.stick;
        let phrases = if lines.turns {
            let Some(parent) = &block.parent else {
                diagnostics
                    .error(block.span, format!("{what}: it does not say which block is turned"))
                    .mend("write its name after `of`, as `series of gallop`");
                return None;
            };
            let known = self.known(&what, parent, diagnostics)?;
            let phrase = self.phrase(&what, known, parent.span, diagnostics)?;
            sticking = known.hands;
            keys = self.keys(&what, known, &lines.own, diagnostics)?;
            if phrase.notes.len() > MOST_TURNED {
                diagnostics
                    .error(
                        parent.span,
                        format!("{what}: `{}` has too many notes to be turned", known.name),
                    )
                    .mend("take a shorter phrase");
                return None;
            }
            let all = turns(&phrase);
            steps.push(format!(
                "`{}`, begun on each of its notes in turn: {}",
                known.name,
                say::several(all.len(), "exercise")
            ));
            all
        } else {
            if let Some(parent) = &block.parent {
                diagnostics
                    .error(parent.span, format!("{what}: only `turns: yes` is made from a block"))
                    .mend("add that line, or take the `of` out");
                return None;
            }
            let own: Vec<Setting> = lines.own.iter().map(|s| (*s).clone()).collect();
            let setup = self.setup(&what, &own, diagnostics)?;
            for setting in &own {
                keys.push((setting.key.value.to_lowercase(), setting.value.value.clone()));
            }
            self.exercises(
                &what,
                &lines,
                &setup,
                lines.rule_span.unwrap_or(block.span),
                &mut steps,
                diagnostics,
            )?
        };
        let mut phrases = phrases;
        for (index, phrase) in phrases.iter_mut().enumerate() {
            self.change(&what, index, phrase, &lines, sticking, diagnostics)?;
        }
        if let Some(rule) = sticking {
            steps.push(format!("`stick: {}`, for each exercise: {}", rule.words(), rule.told()));
        }
        if let Some(tempo) = &lines.playable {
            let tempo = tempo.as_deref();
            self.keep_playable(
                &what,
                &mut phrases,
                &keys,
                tempo,
                &mut steps,
                lines.playable_span.unwrap_or(block.span),
                diagnostics,
            )?;
        }
        if let Some(most) = lines.most.filter(|most| *most < phrases.len()) {
            steps.push(format!("only the first {} stay", say::number(most)));
            phrases.truncate(most);
        }
        if phrases.len() > MOST {
            too_many(&what, phrases.len() as u64, block.span, diagnostics);
            return None;
        }
        let asked = keys.iter().rev().find(|(key, _)| key == "columns");
        let columns =
            asked.map_or(self.context.setup.columns, |(_, n)| n.trim().parse().unwrap_or(1));
        if columns > 1 {
            return self.side_by_side(&what, block, &phrases, keys, steps, diagnostics);
        }
        let mut all = Phrase::empty();
        for (index, mut phrase) in phrases.into_iter().enumerate() {
            if let Some(bar) = phrase.bars.first_mut() {
                bar.mark = Some(format!("\"{}\"", index + 1));
            }
            if let Some(bar) = phrase.bars.last_mut() {
                bar.closing = Closing::Double;
            }
            all.append(&phrase);
            if all.bars.len() > MOST_BARS {
                diagnostics
                    .error(block.span, format!("{what}: it comes to more than {MOST_BARS} bars"))
                    .mend("write `at-most: 100`");
                return None;
            }
        }
        let rests = self.context.setup.rests;
        let rows = self.rows(&what, &all, rests, block.span, diagnostics)?;
        steps.extend(rows.iter().map(|row| format!("    {row}")));
        let plain = Plain {
            word: BlockWord::Exercise,
            name: block.name.as_ref().map(|n| n.value.clone()),
            title: block.title.as_ref().map(|t| t.value.clone()),
            keys,
            rows,
        };
        Some(Made::new(reach(block), steps, plain))
    }

    /// Each exercise as a block of its own, numbered through the file; the first has the title.
    fn side_by_side(
        &self,
        what: &str,
        block: &tree::Block,
        phrases: &[Phrase],
        keys: Vec<(String, String)>,
        mut steps: Vec<String>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Made> {
        let rests = self.context.setup.rests;
        let mut plain = Vec::with_capacity(phrases.len());
        for (index, phrase) in phrases.iter().enumerate() {
            let rows = self.rows(what, phrase, rests, block.span, diagnostics)?;
            steps.extend(rows.iter().map(|row| format!("    {row}")));
            let head = |word: &Option<tree::Word>| {
                word.as_ref().filter(|_| index == 0).map(|w| w.value.clone())
            };
            plain.push(Plain {
                word: BlockWord::Exercise,
                name: head(&block.name),
                title: head(&block.title),
                keys: keys.clone(),
                rows,
            });
        }
        Some(Made::several(reach(block), steps, plain))
    }

    /// Applies the lines that change an exercise.
    fn change(
        &self,
        what: &str,
        index: usize,
        phrase: &mut Phrase,
        lines: &Lines<'_>,
        sticking: Option<StickRule>,
        diagnostics: &mut Diagnostics,
    ) -> Option<()> {
        // Letters of a rule about hands stay; those of a turned block are made anew.
        let none = phrase.notes.iter().all(|n| n.letter.is_none());
        let mut rule = sticking.filter(|_| lines.turns || none);
        for (change, span) in &lines.changes {
            if change.is_about_hands()
                && let Some(rule) = rule.take()
            {
                hands::stick(phrase, self.kit(), rule);
            }
            if let Err((message, mend)) = change.apply(phrase, self.kit()) {
                let number = index + 1;
                diagnostics
                    .error(*span, format!("{what}, exercise {number}: {message}"))
                    .mend(mend);
                return None;
            }
        }
        if let Some(rule) = rule {
            hands::stick(phrase, self.kit(), rule);
        }
        Some(())
    }

    /// Leaves out the exercises that can't be played, by the rules of the warnings, at a tempo or
    /// at the one in force.
    #[allow(clippy::too_many_arguments, reason = "what a fault has to name")]
    fn keep_playable(
        &self,
        what: &str,
        phrases: &mut Vec<Phrase>,
        keys: &[(String, String)],
        tempo: Option<&str>,
        steps: &mut Vec<String>,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) -> Option<()> {
        let known = keys.iter().any(|(key, _)| key == "tempo");
        if tempo.is_none() && !known && self.context.setup.tempo.is_none() {
            diagnostics
                .error(span, format!("{what}: `playable: yes` needs a tempo"))
                .mend("write the tempo, as `playable: at 120`");
            return None;
        }
        let mut head: String = keys
            .iter()
            .filter(|(key, _)| key != "tempo" || tempo.is_none())
            .map(|(key, value)| format!("  {key}: {value}\n"))
            .collect();
        head.extend(tempo.map(|tempo| format!("  tempo: {tempo}\n")));
        let before = phrases.len();
        phrases.retain(|phrase| {
            let Ok(rows) = write::rows(phrase, self.kit(), false) else { return true };
            let text = format!("exercise\n{head}  {}\n", rows.join("\n  "));
            self.read(&text, &mut Diagnostics::default())
                .is_none_or(|block| playable::check(&block).is_empty())
        });
        let kept = phrases.len();
        if kept == 0 && before > 0 {
            diagnostics
                .error(span, format!("{what}: no exercise of it can be played at that tempo"))
                .mend("take a slower tempo, or say what a hand can do, as `fastest-hand: 10`");
            return None;
        }
        steps.push(format!(
            "without what can't be played{}: {} {} away, {} stay",
            tempo.map(|t| format!(" at {t}")).unwrap_or_default(),
            say::number(before - kept),
            if before - kept == 1 { "falls" } else { "fall" },
            say::number(kept),
        ));
        Some(())
    }
}

/// A phrase begun on each of its notes in turn, without those that sound alike.
fn turns(phrase: &Phrase) -> Vec<Phrase> {
    let mut all: Vec<Phrase> = Vec::new();
    let turn = |count: usize| {
        let mut turned = phrase.clone();
        crate::derive::variation::turn(&mut turned, count as i64);
        turned
    };
    for count in 0..phrase.notes.len().min(MOST) {
        let next = turn(count);
        if all.iter().any(|p| p.notes == next.notes) {
            break;
        }
        all.push(next);
    }
    all
}

fn too_many(what: &str, count: u64, span: Span, diagnostics: &mut Diagnostics) {
    let count = match count {
        n if n > MOST_TRIED as u64 => format!("more than {MOST_TRIED}"),
        n => n.to_string(),
    };
    diagnostics
        .error(span, format!("{what}: {count} exercises are too many; a series has at most {MOST}"))
        .mend("take fewer notes, or write `at-most: 100`");
}

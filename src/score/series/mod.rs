//! Series: exercises made by a rule, one after another.

mod count;
mod rule;

use super::block::Closing;
use super::hands::{self, StickRule};
use super::keys::{self, Setup};
use super::made::{Made, Maker, Plain, reach, unknown};
use super::say;
use super::variation::change::{self, Change};
use super::variation::phrase::Phrase;
use super::variation::write::{self, signature};
use super::{playable, values};
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{self, BlockWord, Setting};
use rule::{Groups, MOST_TRIED, Order, Rule};

/// Most exercises of one series.
const MOST: usize = 2_000;
/// Most patterns of a list of hands or feet.
const MOST_LISTED: usize = 100;
/// Most notes of a phrase that is turned.
const MOST_TURNED: usize = 256;
/// Most bars of a series.
const MOST_BARS: usize = 4_000;
/// Most beats that one pattern takes.
const MOST_BEATS: usize = 64;

/// Words a series knows beside those of a variation and the keys of any block.
const WORDS: [&str; 10] = [
    "accents",
    "notes",
    "stickings",
    "turns",
    "hands",
    "feet",
    "order",
    "at-most",
    "turnings",
    "playable",
];

/// The lines of a series.
#[derive(Default)]
struct Lines<'a> {
    rule: Option<Rule>,
    turns: bool,
    hands: Vec<String>,
    feet: Vec<String>,
    order: Order,
    most: Option<usize>,
    once_round: bool,
    /// Leave out what can't be played, at this tempo or else at the one in force.
    playable: Option<Option<String>>,
    changes: Vec<(Change, Span)>,
    /// Where its rule is written, and the line about what can be played.
    rule_span: Option<Span>,
    playable_span: Option<Span>,
    own: Vec<&'a Setting>,
}

impl Maker<'_> {
    /// A series in plain rows: one block, with a bar or more for each exercise, numbered over the
    /// staff.
    pub(super) fn series(
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

    fn lines<'b>(
        &self,
        what: &str,
        block: &'b tree::Block,
        diagnostics: &mut Diagnostics,
    ) -> Option<Lines<'b>> {
        let mut lines = Lines::default();
        let mut good = true;
        for setting in block.sets.iter().flat_map(|s| &s.settings) {
            let key = setting.key.value.to_lowercase();
            match self.line(&key, setting, &mut lines) {
                Some(Ok(())) => {}
                Some(Err(may_be)) => {
                    good = false;
                    diagnostics
                        .error(
                            setting.value.span,
                            format!("{what}: `{}` is no value for `{key}`", setting.value.value),
                        )
                        .mend(may_be);
                }
                None => {
                    good = false;
                    unknown(what, setting, &WORDS, diagnostics);
                }
            }
        }
        let listed = !lines.hands.is_empty() || !lines.feet.is_empty();
        let rules =
            usize::from(lines.rule.is_some()) + usize::from(lines.turns) + usize::from(listed);
        if good && rules != 1 {
            diagnostics
                .error(block.span, match rules {
                    0 => format!("{what}: it does not say what it goes through"),
                    _ => format!("{what}: it goes through two things at once"),
                })
                .mend("write one of `accents: 2 of ssss`, `notes: 3 of 4`, `stickings: 8 sixteenths`, `turns: yes`, or lists of `hands` and `feet`");
            return None;
        }
        good.then_some(lines)
    }

    fn line<'b>(
        &self,
        key: &str,
        setting: &'b Setting,
        lines: &mut Lines<'b>,
    ) -> Option<Result<(), String>> {
        let whole = setting.key.span.join(setting.value.span);
        let value = setting.value.value.trim();
        let yes = |place: &mut bool| match value {
            "yes" => {
                *place = true;
                Ok(())
            }
            _ => Err(format!("write `{key}: yes`, or leave the line out")),
        };
        if let Some(read) = Rule::read(key, value) {
            return Some(read.and_then(|mut rule| {
                if let Some(name) = rule.instrument() {
                    let found = change::instruments(name, self.kit())?;
                    let letters = found.iter().filter_map(|id| self.kit().get(*id));
                    *name = letters.map(|i| i.letter.to_string()).collect::<Vec<_>>().join("+");
                }
                lines.rule_span = Some(whole);
                if lines.rule.replace(rule).is_some() {
                    return Err("a series goes through one thing; make a second series".to_owned());
                }
                Ok(())
            }));
        }
        Some(match key {
            "turns" => yes(&mut lines.turns),
            "turnings" => match value {
                "once" => {
                    lines.once_round = true;
                    Ok(())
                }
                _ => Err("write `turnings: once` to leave out what is an earlier exercise begun elsewhere".to_owned()),
            },
            "playable" => match value.strip_prefix("at ").map(str::trim) {
                _ if value == "yes" => {
                    lines.playable_span = Some(whole);
                    lines.playable = Some(None);
                    Ok(())
                }
                Some(tempo) if values::tempo(tempo).is_some() => {
                    lines.playable_span = Some(whole);
                    lines.playable = Some(Some(tempo.to_owned()));
                    Ok(())
                }
                _ => Err("write `playable: at 120`, or `playable: yes` for the tempo it has".to_owned()),
            },
            "hands" | "feet" => {
                let list: Vec<String> = value.split(',').map(|p| p.trim().to_owned()).collect();
                if list.len() > MOST_LISTED || list.iter().any(String::is_empty) {
                    Err("write groups of cells with commas between them, as `ssss, s.ss`".to_owned())
                } else {
                    lines.rule_span = Some(whole);
                    match key {
                        "hands" => lines.hands = list,
                        _ => lines.feet = list,
                    }
                    Ok(())
                }
            }
            "order" if ["written", "neighbours", "easy"].contains(&value) => {
                lines.order = match value {
                    "neighbours" => Order::Neighbours,
                    "easy" => Order::Easy,
                    _ => Order::Written,
                };
                Ok(())
            }
            "at-most" => match value.trim_end_matches("exercises").trim().parse() {
                Ok(most) if (1..=MOST).contains(&most) => {
                    lines.most = Some(most);
                    Ok(())
                }
                _ => Err("write a number from 1 to 2000".to_owned()),
            },
            _ => {
                let pattern = |cells: &str| self.pattern(cells);
                match Change::read(key, value, self.kit(), &pattern) {
                    Some(Ok(change)) => lines.changes.push((change, whole)),
                    Some(Err(may_be)) => return Some(Err(may_be)),
                    None if keys::is_block_key(key) => lines.own.push(setting),
                    None => return None,
                }
                Ok(())
            }
        })
    }

    /// The exercises of a rule or of two lists.
    fn exercises(
        &self,
        what: &str,
        lines: &Lines<'_>,
        setup: &Setup,
        span: Span,
        steps: &mut Vec<String>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Vec<Phrase>> {
        let time = signature(&setup.meter);
        let bar = setup.meter.beats().len();
        let mut all = Vec::new();
        let Some(rule) = &lines.rule else {
            let silent = [".".to_owned()];
            let hands = if lines.hands.is_empty() { &silent[..] } else { &lines.hands };
            let feet = if lines.feet.is_empty() { &silent[..] } else { &lines.feet };
            let count = hands.len() * feet.len();
            if count > MOST {
                too_many(what, count as u64, span, diagnostics);
                return None;
            }
            for hand in hands {
                for foot in feet {
                    let rows = [("hands", groups(hand)), ("feet", groups(foot))];
                    all.push(self.exercise(what, &time, bar, &rows, span, diagnostics)?);
                }
            }
            steps.push(format!(
                "{} for the hands with {} for the feet: {}",
                say::several(hands.len(), "pattern"),
                say::several(feet.len(), "pattern"),
                say::several(count, "exercise")
            ));
            return Some(all);
        };
        let size = rule.size();
        if size > MOST_TRIED as u64 {
            too_many(what, size, span, diagnostics);
            return None;
        }
        let Some(mut patterns) = rule.patterns(lines.order) else {
            diagnostics
                .error(span, format!("{what}: stickings have no order by neighbours"))
                .mend("write `order: easy`, or leave the line out");
            return None;
        };
        steps.push(format!("{} in all", say::several(patterns.len(), "arrangement")));
        if lines.once_round {
            rule_once(&mut patterns, steps);
        }
        let most = lines.most.filter(|_| lines.playable.is_none());
        let made = patterns.len().min(most.unwrap_or(usize::MAX));
        if made > MOST {
            too_many(what, made as u64, span, diagnostics);
            return None;
        }
        for pattern in patterns.iter().take(made) {
            let Groups { play, stick } = rule.groups(pattern);
            let mut rows = vec![("play", play)];
            rows.extend(stick.map(|stick| ("stick", stick)));
            all.push(self.exercise(what, &time, bar, &rows, span, diagnostics)?);
        }
        Some(all)
    }

    /// One exercise: its groups again and again until a barline is met.
    fn exercise(
        &self,
        what: &str,
        time: &str,
        bar: usize,
        rows: &[(&str, Vec<String>)],
        span: Span,
        diagnostics: &mut Diagnostics,
    ) -> Option<Phrase> {
        let common = |a: usize, b: usize| (1..=b).map(|n| a * n).find(|m| m % b == 0);
        let beats = rows.iter().try_fold(bar.max(1), |all, (_, groups)| {
            common(all, groups.len().max(1)).filter(|beats| *beats <= MOST_BEATS)
        });
        let Some(beats) = beats else {
            diagnostics
                .error(span, format!("{what}: its patterns meet a barline only after more than {MOST_BEATS} beats"))
                .mend("write patterns of as many beats as a bar, or of a part of it");
            return None;
        };
        let mut text = format!("exercise\n  time: {time}\n");
        for (name, groups) in rows {
            if groups.iter().all(|g| g.chars().all(|c| c == '.')) {
                continue;
            }
            let cells: Vec<&str> = groups.iter().cycle().take(beats).map(String::as_str).collect();
            let bars: Vec<String> = cells.chunks(bar.max(1)).map(|bar| bar.join(" ")).collect();
            text.push_str(&format!("  {name} {}\n", bars.join(" | ")));
        }
        let made = self.bars(&text);
        if made.is_none() {
            let shown: Vec<String> = rows.iter().map(|(_, groups)| groups.join(" ")).collect();
            diagnostics
                .error(span, format!("{what}: `{}` can't be read as cells", shown.join("` over `")))
                .mend("write the letters of the kit as in a `play` row");
        }
        made
    }
}

fn groups(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_owned).collect()
}

fn rule_once(patterns: &mut Vec<count::Pattern>, steps: &mut Vec<String>) {
    count::once_round(patterns);
    steps.push(format!(
        "without those that are an earlier one begun elsewhere: {}",
        say::several(patterns.len(), "exercise")
    ));
}

/// A phrase begun on each of its notes in turn, without those that sound alike.
fn turns(phrase: &Phrase) -> Vec<Phrase> {
    let mut all: Vec<Phrase> = Vec::new();
    let turn = |count: usize| {
        let mut turned = phrase.clone();
        super::variation::turn(&mut turned, count as i64);
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

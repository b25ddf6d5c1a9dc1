//! The exercises of a rule, each as music.

use crate::derive::made::Maker;
use crate::derive::series::lines::Lines;
use crate::derive::series::rule::{Groups, MOST_TRIED};
use crate::derive::series::{MOST, count, too_many};
use crate::derive::variation::phrase::Phrase;
use crate::derive::variation::write::signature;
use crate::interpret::keys::Setup;
use crate::source::say;
use crate::source::{Diagnostics, Span};

/// Most beats that one pattern takes.
const MOST_BEATS: usize = 64;

impl Maker<'_> {
    /// The exercises of a rule or of two lists.
    pub(crate) fn exercises(
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

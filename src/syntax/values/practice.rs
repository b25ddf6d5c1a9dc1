//! How a block is practised: the steps, the click, the count-in, and how far strokes stray.

use super::list::unquoted;
use super::number::figures;
use crate::score::practice::{Click, ClickOn, Heard, PracticeSpeed, PracticeStep, Silent};
use crate::syntax::grammar::{Rule, Token, value_tokens};
use std::ops::RangeInclusive;
use std::sync::Arc;

/// Beats a minute, as for a metronome mark.
const TEMPOS: RangeInclusive<f64> = 10.0..=400.0;
/// Beats a minute between two tempos of a climb.
const CLIMBS: RangeInclusive<f64> = 1.0..=390.0;
/// How often a step may be played.
const TIMES: RangeInclusive<u32> = 1..=99;
/// Most steps.
const MOST_STEPS: usize = 50;
/// Bars of a count-in.
const COUNT_IN: RangeInclusive<u32> = 1..=4;
/// Bars of which some are silent.
const SILENT_OF: RangeInclusive<u32> = 2..=64;
/// Beats of a bar that can be named.
const BEATS: RangeInclusive<u32> = 1..=64;
/// Milliseconds by which strokes may stray.
const STRAY: RangeInclusive<f64> = 1.0..=30.0;
/// Milliseconds between grace notes.
const SPREAD: RangeInclusive<f64> = 5.0..=100.0;

/// Reads the steps of practice: `alone x2, silence x2, slow, 60 to 100 by 10 x4, in context without feet`.
#[must_use]
pub fn steps(text: &str) -> Option<Vec<PracticeStep>> {
    let steps = value_tokens(Rule::practice_value, text)?.map(step).collect::<Option<Vec<_>>>()?;
    (steps.len() <= MOST_STEPS).then_some(steps)
}

fn step(token: Token<'_>) -> Option<PracticeStep> {
    let mut step = PracticeStep::default();
    for part in token.into_inner() {
        match part.as_rule() {
            Rule::practice_context => step.heard = Heard::InContext,
            Rule::practice_silence => step.heard = Heard::Silence,
            Rule::practice_slow => step.speed = PracticeSpeed::Slow,
            Rule::practice_goal => step.speed = PracticeSpeed::Goal,
            Rule::practice_at => step.speed = PracticeSpeed::At(tempo(&part.into_inner().next()?)?),
            Rule::practice_climb => step.speed = climb(part)?,
            Rule::practice_hands => step.without.push(Silent::Hands),
            Rule::practice_feet => step.without.push(Silent::Feet),
            Rule::practice_player => {
                step.without.push(Silent::Player(unquoted(part.as_str()).to_owned()));
            }
            Rule::practice_times => {
                let times = part.into_inner().next()?;
                step.times = figures(&times).filter(|times| TIMES.contains(times))?;
            }
            _ => {}
        }
    }
    Some(step)
}

fn tempo(token: &Token<'_>) -> Option<f64> {
    figures(token).filter(|tempo| TEMPOS.contains(tempo))
}

fn climb(token: Token<'_>) -> Option<PracticeSpeed> {
    let mut numbers = token.into_inner();
    let (from, to) = (tempo(&numbers.next()?)?, tempo(&numbers.next()?)?);
    let by = figures(&numbers.next()?).filter(|by| CLIMBS.contains(by))?;
    Some(PracticeSpeed::Climb { from, to, by })
}

/// Reads what clicks: `beats`, `eighths, silent 1 bar of 4`, `beats 2 4`, `none`.
#[must_use]
pub fn click(text: &str) -> Option<Click> {
    let mut click = Click::default();
    for token in value_tokens(Rule::click_value, text)? {
        match token.as_rule() {
            Rule::click_bars => click.on = ClickOn::Bars,
            Rule::click_beats => {
                let beats = token
                    .into_inner()
                    .map(|beat| figures(&beat).filter(|beat: &u32| BEATS.contains(beat)));
                let beats = beats.collect::<Option<Vec<u32>>>()?;
                click.on = match beats.is_empty() {
                    true => ClickOn::Beats,
                    false => ClickOn::Some(Arc::from(beats)),
                };
            }
            Rule::click_parts => {
                click.on = ClickOn::Parts(match token.into_inner().next()?.as_rule() {
                    Rule::click_eighths => 2,
                    Rule::click_triplets => 3,
                    _ => 4,
                });
            }
            Rule::click_silent => {
                let mut numbers = token.into_inner().map(|number| figures::<u32>(&number));
                let (silent, of) = (numbers.next()??, numbers.next()??);
                let fits = silent > 0 && silent < of && SILENT_OF.contains(&of);
                click.silent = Some((silent, of)).filter(|_| fits);
                click.silent?;
            }
            _ => {}
        }
    }
    Some(click)
}

/// Reads bars of a count-in, 0 to 4: `1 bar`, `2 bars`, `none`.
#[must_use]
pub fn count_in(text: &str) -> Option<u32> {
    let first = value_tokens(Rule::count_in_value, text)?.next()?;
    match first.as_rule() {
        Rule::nothing => Some(0),
        _ => figures(&first).filter(|bars| COUNT_IN.contains(bars)),
    }
}

/// Reads how far strokes may stray, in seconds: `8 ms`, `none`.
#[must_use]
pub fn looseness(text: &str) -> Option<f64> {
    let first = value_tokens(Rule::loose_value, text)?.next()?;
    match first.as_rule() {
        Rule::nothing => Some(0.0),
        _ => seconds(&first, STRAY),
    }
}

/// Reads what lies between grace notes, in seconds: `30 ms`.
#[must_use]
pub fn spread(text: &str) -> Option<f64> {
    seconds(&value_tokens(Rule::milliseconds_value, text)?.next()?, SPREAD)
}

fn seconds(token: &Token<'_>, range: RangeInclusive<f64>) -> Option<f64> {
    figures(token).filter(|ms| range.contains(ms)).map(|ms: f64| ms / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_of_the_guide() {
        let read = |text| {
            steps(text).map(|steps| {
                let told = steps.into_iter().map(|s| (s.heard, s.speed, s.without, s.times));
                told.collect::<Vec<_>>()
            })
        };
        let (alone, written) = (Heard::Alone, PracticeSpeed::Written);
        assert_eq!(
            read("alone x2, silence x2, in context"),
            Some(vec![
                (alone, written, vec![], 2),
                (Heard::Silence, written, vec![], 2),
                (Heard::InContext, written, vec![], 1),
            ])
        );
        let climb = PracticeSpeed::Climb { from: 60.0, to: 100.0, by: 10.0 };
        assert_eq!(
            read("slow x4,60 to 100 by 10 x 2, at 92.5, in context at goal"),
            Some(vec![
                (alone, PracticeSpeed::Slow, vec![], 4),
                (alone, climb, vec![], 2),
                (alone, PracticeSpeed::At(92.5), vec![], 1),
                (Heard::InContext, PracticeSpeed::Goal, vec![], 1),
            ])
        );
        let who = vec![Silent::Hands, Silent::Player("Snare one".into())];
        assert_eq!(
            read("alone slow without hands without \"Snare one\" x3"),
            Some(vec![(alone, PracticeSpeed::Slow, who, 3)])
        );
        for wrong in [
            "",
            "x0",
            "x100",
            "at 5",
            "60 to 100",
            "60 to 100 by 0",
            "loud",
            "slow,",
            "alone alone",
        ] {
            assert_eq!(steps(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn clicks_of_the_guide() {
        let on = |on, silent| Some(Click { on, silent });
        assert_eq!(click("none"), on(ClickOn::Never, None));
        assert_eq!(click("bars"), on(ClickOn::Bars, None));
        assert_eq!(click("beats"), on(ClickOn::Beats, None));
        assert_eq!(click("beats 2 4"), on(ClickOn::Some(Arc::from([2, 4])), None));
        assert_eq!(click("Sixteenths"), on(ClickOn::Parts(4), None));
        assert_eq!(click("triplets, silent 1 bar of 4"), on(ClickOn::Parts(3), Some((1, 4))));
        assert_eq!(click("beats, silent 2 bars of 8"), on(ClickOn::Beats, Some((2, 8))));
        for wrong in ["", "beats 0", "silent 1 bar of 4", "beats, silent 4 bars of 4", "often"] {
            assert_eq!(click(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn counts_in_and_times() {
        assert_eq!(count_in("1 bar"), Some(1));
        assert_eq!(count_in("2 bars"), Some(2));
        assert_eq!(count_in("none"), Some(0));
        assert_eq!(looseness("8 ms"), Some(0.008));
        assert_eq!(looseness("none"), Some(0.0));
        assert_eq!(spread("30 ms"), Some(0.03));
        assert_eq!(spread("25"), Some(0.025));
        for wrong in ["", "0 bars", "5 bars", "bar"] {
            assert_eq!(count_in(wrong), None, "{wrong}");
        }
        for wrong in ["", "0 ms", "31 ms", "much"] {
            assert_eq!(looseness(wrong), None, "{wrong}");
        }
        for wrong in ["none", "4 ms", "101 ms", "30 s"] {
            assert_eq!(spread(wrong), None, "{wrong}");
        }
    }
}

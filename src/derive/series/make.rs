//! A series from its lines to its blocks.

use super::exercises::{Exercises, too_many};
use super::turns::turns;
use crate::derive::accents;
use crate::derive::apply::{apply, is_about_hands};
use crate::derive::attached::Attached;
use crate::derive::budget;
use crate::derive::codes;
use crate::derive::compose::{self, Ground};
use crate::derive::library::stick_anew;
use crate::derive::maker::{self, Draft, Made, Maker};
use crate::derive::phrase::Phrase;
use crate::derive::subdivision;
use crate::interpret::keys::KeySetting;
use crate::interpret::request::{MOST, Playable, Request, Series};
use crate::interpret::setup::Setup;
use crate::score::settings::StickRule;
use crate::score::{Block, BlockWord, Closing, MarkKind, Placed, PlayerPart, Time};
use crate::source::{Diagnostics, say};
use std::sync::Arc;

/// Most notes of a phrase that is turned.
const MOST_TURNED: usize = 256;
/// Most bars of a series.
const MOST_BARS: usize = 4_000;

/// What a series comes to: one block, with a bar or more for each exercise, numbered over the staff;
/// or where blocks stand side by side, one for each exercise.
pub(in crate::derive) fn make(
    maker: &mut Maker<'_>,
    request: &Placed<Request>,
    series: &Series,
    diagnostics: &mut Diagnostics,
) -> Option<Made> {
    let mut steps = Vec::new();
    let start = start(maker, request, series, &mut steps, diagnostics)?;
    let Start { mut phrases, keys, sticking } = start;
    let mut signs = 0;
    for (number, phrase) in (1..).zip(&mut phrases) {
        change(request, series, (number, phrase), sticking, diagnostics)?;
        signs += budget::signs(phrase);
        maker.spending.allow(request, signs)?;
    }
    if let Some(rule) = sticking {
        let done = rule.told();
        steps.push(format!("`stick: {}`, for each exercise: {done}", rule.words()));
    }
    if let Some(playable) = &series.playable {
        keep_playable(maker, request, (playable, &keys), &mut phrases, &mut steps, diagnostics)?;
    }
    if let Some(most) = series.most.filter(|most| *most < phrases.len()) {
        steps.push(format!("only the first {} stay", say::number(most)));
        phrases.truncate(most);
    }
    if phrases.len() > MOST {
        too_many(request, phrases.len() as u64, request.span, diagnostics);
        return None;
    }
    let columns = maker::setup(&request.around, &keys).columns;
    let drafts = if columns > 1 {
        apart(request, phrases, &keys)
    } else {
        vec![in_one(request, phrases, keys, diagnostics)?]
    };
    let rests = request.around.setup.rests;
    for draft in &drafts {
        maker.tell(request, &draft.phrase, (rests, request.span), &mut steps, diagnostics)?;
    }
    Some(Made { drafts, steps, hands: None })
}

/// Exercises before anything is changed in them.
struct Start {
    phrases: Vec<Phrase>,
    keys: Vec<KeySetting>,
    /// The rule by which their letters are made.
    sticking: Option<StickRule>,
}

fn start(
    maker: &mut Maker<'_>,
    request: &Placed<Request>,
    series: &Series,
    steps: &mut Vec<String>,
    diagnostics: &mut Diagnostics,
) -> Option<Start> {
    if series.turns {
        return turned(maker, request, steps, diagnostics);
    }
    let what = &request.what;
    if let Some(parent) = &request.parent {
        diagnostics
            .error(parent.span, format!("{what}: only `turns: yes` is made from a block"))
            .code(codes::PARENT_UNWANTED)
            .mend("add that line, or take the `of` out");
        return None;
    }
    let meter = maker::setup(&request.around, &request.keys).meter;
    let span = series.rule_span.unwrap_or(request.span);
    let around = Setup::clone(&request.around.setup);
    let setup = Setup { meter, pickup: None, stick: None, ..around };
    let rule =
        match series.rule.as_ref().map(|rule| subdivision::rule(rule, &setup.meter)).transpose() {
            Ok(rule) => rule,
            Err((message, mend)) => {
                diagnostics
                    .error(span, format!("{what}: {message}"))
                    .code(codes::SUBDIVISION_UNFIT)
                    .mend(mend);
                return None;
            }
        };
    let series = &Series { rule, ..series.clone() };
    let (spending, made) = (&mut maker.spending, 0);
    let mut exercises =
        Exercises { request, series, setup: &setup, span, spending, made, diagnostics };
    let phrases = exercises.make(steps)?;
    Some(Start { phrases, keys: request.keys.clone(), sticking: request.around.setup.stick })
}

fn turned(
    maker: &mut Maker<'_>,
    request: &Placed<Request>,
    steps: &mut Vec<String>,
    diagnostics: &mut Diagnostics,
) -> Option<Start> {
    let what = &request.what;
    let Some(parent) = &request.parent else {
        diagnostics
            .error(request.span, format!("{what}: it does not say which block is turned"))
            .code(codes::PARENT_MISSING)
            .mend("write its name after `of`, as `series of gallop`");
        return None;
    };
    let known = maker.library.known(what, parent, diagnostics)?;
    let mut phrase = known.phrase(what, &request.around.kit, parent.span, diagnostics)?;
    phrase.attached = Attached::default();
    if phrase.notes.len() > MOST_TURNED {
        let message = format!("{what}: `{}` has too many notes to be turned", known.name);
        diagnostics
            .error(parent.span, message)
            .code(codes::PARENT_TOO_LONG)
            .mend("take a shorter phrase");
        return None;
    }
    let phrases = turns(&phrase, MOST);
    steps.push(format!(
        "`{}`, begun on each of its notes in turn: {}",
        known.name,
        say::several(phrases.len(), "exercise")
    ));
    Some(Start { phrases, keys: known.keys_under(&request.keys), sticking: known.hands })
}

/// Applies the lines that change an exercise.
fn change(
    request: &Placed<Request>,
    series: &Series,
    (number, phrase): (usize, &mut Phrase),
    sticking: Option<StickRule>,
    diagnostics: &mut Diagnostics,
) -> Option<()> {
    // Letters of a rule about hands stay; those of a turned block are made anew.
    let none = phrase.notes.iter().all(|n| n.letter.is_none());
    let mut rule = sticking.filter(|_| series.turns || none);
    let kit = &request.around.kit;
    for (change, span) in &series.changes {
        if is_about_hands(change) {
            stick_anew(phrase, kit, &mut rule);
        }
        let done = accents::check(change, phrase, &request.around).and_then(|()| {
            let done = apply(change, phrase, &request.around);
            done.map_err(|(message, mend)| (*span, message, mend))
        });
        if let Err((span, message, mend)) = done {
            let what = &request.what;
            diagnostics
                .error(span, format!("{what}, exercise {number}: {message}"))
                .code(codes::CHANGE_IMPOSSIBLE)
                .mend(mend);
            return None;
        }
    }
    stick_anew(phrase, kit, &mut rule);
    Some(())
}

/// Leaves out the exercises that can't be played, by the rules of the warnings, at a tempo or at the
/// one in force.
fn keep_playable(
    maker: &mut Maker<'_>,
    request: &Placed<Request>,
    (playable, keys): (&Playable, &[KeySetting]),
    phrases: &mut Vec<Phrase>,
    steps: &mut Vec<String>,
    diagnostics: &mut Diagnostics,
) -> Option<()> {
    let what = &request.what;
    let mut setup = Setup { pickup: None, ..maker::setup(&request.around, keys) };
    if let Some((tempo, _)) = &playable.tempo {
        setup.tempo = Some(tempo.clone());
    }
    if setup.tempo.is_none() {
        diagnostics
            .error(playable.span, format!("{what}: `playable: yes` needs a tempo"))
            .code(codes::TEMPO_MISSING)
            .mend("write the tempo, as `playable: at 120`");
        return None;
    }
    let before = phrases.len();
    let word = BlockWord::Exercise;
    let ground = Ground { around: &request.around, setup: &setup, word, span: request.span };
    phrases.retain(|phrase| {
        let composed =
            compose::bars(phrase, ground, &mut maker.finder, &mut Diagnostics::default());
        let Ok(bars) = composed else { return true };
        (maker.can_play)(&Block {
            word,
            name: None,
            parent: None,
            plays: Arc::default(),
            title: None,
            settings: setup.block_settings(),
            part: PlayerPart::alone(setup.part_settings(), request.around.kit.clone(), bars),
            others: Vec::new(),
            span: request.span,
        })
    });
    let kept = phrases.len();
    if kept == 0 && before > 0 {
        diagnostics
            .error(playable.span, format!("{what}: no exercise of it can be played at that tempo"))
            .code(codes::EXERCISES_UNPLAYABLE)
            .mend("take a slower tempo, or say what a hand can do, as `fastest-hand: 10`");
        return None;
    }
    let tempo = playable.tempo.as_ref().map(|(_, words)| format!(" at {words}"));
    steps.push(format!(
        "without what can't be played{}: {} {} away, {} stay",
        tempo.unwrap_or_default(),
        say::number(before - kept),
        if before - kept == 1 { "falls" } else { "fall" },
        say::number(kept),
    ));
    Some(())
}

/// Each exercise as a block of its own, numbered through the file; the first has the title.
fn apart(request: &Placed<Request>, phrases: Vec<Phrase>, keys: &[KeySetting]) -> Vec<Draft> {
    let blocks = phrases.into_iter().enumerate().map(|(index, phrase)| Draft {
        word: BlockWord::Exercise,
        name: request.name.clone().filter(|_| index == 0),
        title: request.title.clone().filter(|_| index == 0),
        keys: keys.to_vec(),
        phrase,
    });
    blocks.collect()
}

/// All exercises as one block.
fn in_one(
    request: &Placed<Request>,
    phrases: Vec<Phrase>,
    keys: Vec<KeySetting>,
    diagnostics: &mut Diagnostics,
) -> Option<Draft> {
    let mut all = Phrase::default();
    for (number, mut phrase) in (1..).zip(phrases) {
        phrase.attached.add_mark(Time::ZERO, MarkKind::Number(number));
        if let Some(bar) = phrase.bars.last_mut() {
            bar.closing = Closing::Double;
        }
        all.append(&phrase);
        if all.bars.len() > MOST_BARS {
            let what = &request.what;
            diagnostics
                .error(request.span, format!("{what}: it comes to more than {MOST_BARS} bars"))
                .code(codes::SERIES_TOO_LONG)
                .mend("write `at-most: 100`");
            return None;
        }
    }
    Some(Draft {
        word: BlockWord::Exercise,
        name: request.name.clone(),
        title: request.title.clone(),
        keys,
        phrase: all,
    })
}

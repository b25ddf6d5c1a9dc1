//! Variations: a block's music changed, line by line, in a neutral form.

use super::accents;
use super::apply::{apply, is_about_hands};
use super::budget;
use super::codes;
use super::hands;
use super::library::stick_anew;
use super::maker::{Draft, Made, Maker, setup};
use super::phrase::Phrase;
use crate::interpret::request::{ChangeRequest, Request, Surroundings};
use crate::score::Placed;
use crate::score::settings::{Rests, StickRule};
use crate::source::Diagnostics;
use std::sync::Arc;

/// The block a variation comes to.
pub(super) fn make(
    maker: &mut Maker<'_>,
    request: &Placed<Request>,
    changes: &[ChangeRequest],
    diagnostics: &mut Diagnostics,
) -> Option<Made> {
    let what = &request.what;
    let Some(parent) = &request.parent else {
        diagnostics
            .error(request.span, "this variation does not say what it is a variation of")
            .code(codes::PARENT_MISSING)
            .mend("write the name of its block after `of`, as `variation of gallop`");
        return None;
    };
    let kit = &*request.around.kit;
    let known = maker.library.known(what, parent, diagnostics)?;
    let mut phrase = known.phrase(what, kit, parent.span, diagnostics)?;
    let rests = known.block.part.settings.rests;
    let mut steps = vec![format!("{what}: it starts as `{}`:", known.name)];
    maker.tell(request, &phrase, (rests, request.span), &mut steps, diagnostics)?;
    // Places are counted as in the parent.
    let setup = Arc::new(setup(&request.around, &known.keys_under(&request.keys)));
    let around = Surroundings { setup, ..request.around.clone() };
    let ground = Ground { request, around: &around, rests };
    let rule =
        change_all(maker, (ground, changes), (&mut phrase, known.hands), &mut steps, diagnostics)?;
    if let Some(rule) = rule {
        hands::stick(&mut phrase, kit, rule);
        let (name, done) = (&known.name, rule.told());
        steps.push(format!("`stick: {}` as in `{name}`: {done}", rule.words()));
    }
    let told = || known.title.as_deref().map(|title| title_with(title, changes));
    let draft = Draft {
        word: known.word,
        name: request.name.clone(),
        title: request.title.clone().or_else(told),
        keys: known.keys_under(&request.keys),
        phrase,
    };
    Some(Made { drafts: vec![draft], steps, hands: rule })
}

/// What the changes of a variation are made on.
#[derive(Clone, Copy)]
struct Ground<'a> {
    request: &'a Placed<Request>,
    around: &'a Surroundings,
    rests: Rests,
}

/// Makes all changes of a phrase whose letters may be made by a rule; that rule, where they still are.
fn change_all(
    maker: &mut Maker<'_>,
    (ground, changes): (Ground<'_>, &[ChangeRequest]),
    (phrase, mut rule): (&mut Phrase, Option<StickRule>),
    steps: &mut Vec<String>,
    diagnostics: &mut Diagnostics,
) -> Option<Option<StickRule>> {
    let Ground { request, around, rests } = ground;
    let (what, kit) = (&request.what, &*request.around.kit);
    // A sticking made by a rule is made anew from what the notes become, unless a line is about
    // the letters themselves.
    for (number, ChangeRequest { change, words, span }) in (1..).zip(changes) {
        if is_about_hands(change) {
            stick_anew(phrase, kit, &mut rule);
        }
        let checked = accents::check(change, phrase, around);
        let done = checked.and_then(|()| {
            let done = apply(change, phrase, around);
            done.map_err(|(message, mend)| (*span, message, mend))
        });
        maker.spending.allow(request, budget::signs(phrase))?;
        let done = match done {
            Ok(done) => done,
            Err(impossible) if maker.library.asks_for_several() => {
                steps.push(format!("{number}. `{words}`: it changes nothing here"));
                maker.impossible.push(impossible);
                continue;
            }
            Err((span, message, mend)) => {
                diagnostics
                    .error(span, format!("{what}: {message}"))
                    .code(codes::CHANGE_IMPOSSIBLE)
                    .mend(mend);
                return None;
            }
        };
        steps.push(format!("{number}. `{words}`: {done}"));
        maker.tell(request, phrase, (rests, *span), steps, diagnostics)?;
    }
    Some(rule)
}

/// The title of a block that was changed.
fn title_with(title: &str, changes: &[ChangeRequest]) -> String {
    if changes.is_empty() {
        return title.to_owned();
    }
    let said: Vec<&str> = changes.iter().map(|line| line.words.as_str()).collect();
    format!("{title} ({})", said.join("; "))
}

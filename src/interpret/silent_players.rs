//! Players who are to be silent in practice, and whom the text does not have.

use super::{codes, keys, players};
use crate::score::name_key;
use crate::score::practice::Silent;
use crate::source::{Diagnostics, Span, nearest, say};
use crate::syntax::tree::{Document, Item, Setting};
use crate::syntax::values::practice;

/// Reports players by names that none of the text has.
pub(super) fn report_unknown(document: &Document, diagnostics: &mut Diagnostics) {
    let known = players(document);
    let mut report = |settings: &mut dyn Iterator<Item = &Setting>, at: usize| {
        for setting in settings.filter(|setting| keys::is(setting, "practice")) {
            for (name, span) in silent(setting) {
                if !known.iter().any(|own| name_key(own) == name_key(&name)) {
                    report_one((&name, span.moved(at)), &known, diagnostics);
                }
            }
        }
    };
    report(&mut document.header.iter(), 0);
    for item in &document.items {
        match item {
            Item::Block(block) => report(&mut block.settings(), block.at),
            Item::FileStart(start) => report(&mut start.header.iter(), 0),
            Item::Heading(_) | Item::Prose(_) | Item::Include(_) | Item::FileEnd => {}
        }
    }
}

/// The players that a line wants silent, each with the place of its name and the quotes around it.
fn silent(setting: &Setting) -> Vec<(String, Span)> {
    let value = &setting.value;
    let steps = practice::steps(&value.value).unwrap_or_default();
    let mut from = 0;
    let mut found = Vec::new();
    for silent in steps.into_iter().flat_map(|step| step.without) {
        let Silent::Player(name) = silent else { continue };
        let quoted = format!("\"{name}\"");
        let rest = value.value.get(from..).unwrap_or_default();
        let start = from + rest.find(&quoted).unwrap_or_default();
        from = start + quoted.len();
        let place = value.span.start() + start;
        found.push((name, Span::new(place, place + quoted.len())));
    }
    found
}

fn report_one((name, span): (&str, Span), known: &[String], diagnostics: &mut Diagnostics) {
    let shown = say::shortened(name);
    let message = format!("no player is called \u{201c}{shown}\u{201d}, who is to be silent");
    let fault = diagnostics.error(span, message).code(codes::SILENT_UNKNOWN);
    let names = || known.iter().map(String::as_str);
    match nearest(name, names()) {
        Some(near) => {
            fault.replace(span, format!("\"{near}\""), format!("did you mean `\"{near}\"`?"))
        }
        None if known.is_empty() => fault
            .mend("write the rows of each player under `player \"Name\"`, or take the name out"),
        None => fault.mend(format!("the players are {}", say::listed(names()))),
    };
}

//! What the blocks that are made have in common: what they are made from, and what they come to.

use super::budget::Spending;
use super::cells::Finder;
use super::codes;
use super::library::Library;
use super::phrase::Phrase;
use super::row::{self, TooFine};
use super::text;
use crate::interpret::keys::KeySetting;
use crate::interpret::request::Request;
use crate::interpret::setup::Setup;
use crate::interpret::surroundings::Surroundings;
use crate::score::settings::{Rests, StickRule};
use crate::score::{Block, BlockWord, Span};
use crate::source::{Diagnostics, Severity};

/// Whether a drummer can play a block: what a later stage knows and a series may ask.
pub type CanPlay<'a> = &'a dyn Fn(&Block) -> bool;

/// What making needs.
pub(super) struct Maker<'a> {
    pub(super) library: Library,
    pub(super) can_play: CanPlay<'a>,
    pub(super) finder: Finder,
    /// How much is made.
    pub(super) spending: Spending,
    /// Whether it is to be told how everything comes about.
    pub(super) telling: bool,
    /// What can't be changed in what one of several players plays, as it can for another; a fault where none
    /// of them can have it.
    pub(super) impossible: Vec<(Span, String, String)>,
}

/// A block about to be made from a phrase.
pub(super) struct Draft {
    pub(super) word: BlockWord,
    pub(super) name: Option<String>,
    pub(super) title: Option<String>,
    pub(super) keys: Vec<KeySetting>,
    pub(super) phrase: Phrase,
}

/// What a request comes to.
pub(super) struct Made {
    pub(super) drafts: Vec<Draft>,
    /// How it came about, a line each.
    pub(super) steps: Vec<String>,
    /// The rule all its letters were made by.
    pub(super) hands: Option<StickRule>,
}

impl Maker<'_> {
    /// Tells what a phrase is; a fault where it can't be written.
    pub(super) fn tell(
        &mut self,
        request: &Request,
        phrase: &Phrase,
        (rests, span): (Rests, Span),
        steps: &mut Vec<String>,
        diagnostics: &mut Diagnostics,
    ) -> Option<()> {
        let kit = &request.around.kit;
        let full_rests = rests == Rests::Full;
        let checked = if self.telling {
            text::rows(phrase, kit, full_rests, &mut self.finder)
                .map(|rows| steps.extend(rows.iter().map(|row| format!("    {row}"))))
        } else {
            row::check(phrase, kit, full_rests, &mut self.finder)
        };
        checked.map_err(|too_fine| report(request, too_fine, span, diagnostics)).ok()
    }
}

/// The rule for stickings that holds where a block stands with keys of its own.
pub(super) fn stick_rule(around: &Surroundings, keys: &[KeySetting]) -> Option<StickRule> {
    let mut setup = Setup::clone(&around.setup);
    keys.iter().for_each(|line| line.apply(&mut setup));
    setup.stick
}

/// What holds in a made block that has these keys. What letters it is to have, it has.
pub(super) fn setup(around: &Surroundings, keys: &[KeySetting]) -> Setup {
    let mut setup = Setup::clone(&around.setup);
    keys.iter().for_each(|line| line.apply(&mut setup));
    Setup { stick: None, ..setup }
}

/// Reports that a phrase is too fine to be written.
pub(super) fn report(
    request: &Request,
    too_fine: TooFine,
    span: Span,
    diagnostics: &mut Diagnostics,
) {
    let TooFine { bar, beat } = too_fine;
    let what = &request.what;
    diagnostics
        .error(span, format!("{what}: beat {beat} of bar {bar} comes out too fine to be written"))
        .code(codes::CHANGE_TOO_FINE)
        .mend("take a change out, or one that cuts its cells less");
}

/// Reports what is found in a made block once, with its name.
pub(super) fn pass_on(request: &Request, heard: &Diagnostics, diagnostics: &mut Diagnostics) {
    let mut said: Vec<&str> = Vec::new();
    for found in heard.sorted() {
        if said.contains(&found.message.as_str()) {
            continue;
        }
        said.push(&found.message);
        let message = format!("{}: {}", request.what, found.message);
        let fault = match found.severity {
            Severity::Error => diagnostics.error(request.span, message),
            Severity::Warning => diagnostics.warning(request.span, message),
        };
        let fault = fault.code(found.code);
        if let Some(mend) = &found.mend {
            fault.mend(mend.clone());
        }
    }
}

//! Blocks that are made: from other blocks or by a rule. Each becomes plain rows first, and those
//! are read as if they had been written, so that what is made and what is written never differ.

use crate::derive::hands;
use crate::derive::hands::StickRule;
use crate::derive::variation::change::{Change, WORDS};
use crate::derive::variation::phrase::Phrase;
use crate::derive::variation::write;
use crate::derive::variation::write::TooFine;
use crate::interpret::assemble;
use crate::interpret::assemble::Context;
use crate::interpret::keys;
use crate::interpret::keys::{Place, Setup};
use crate::score::Block;
use crate::score::BlockWord;
use crate::score::Kit;
use crate::score::settings::{Header, Rests};
use crate::source::say;
use crate::source::{Diagnostics, Severity, Source, Span, nearest};
use crate::syntax;
use crate::syntax::tree;
use crate::syntax::tree::{Setting, Word};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::Arc;

/// Most lines that change something in one variation.
const MOST_CHANGES: usize = 64;

/// Most notes and bars of a block that others are made from.
const MOST_NOTES: usize = 4_000;
const MOST_BARS: usize = 512;

/// A block that others can be made from.
#[derive(Clone, Debug)]
pub(crate) struct Known {
    pub(crate) word: BlockWord,
    pub(crate) name: String,
    pub(crate) title: Option<String>,
    /// Its own keys, as written, but for the rule of its sticking.
    pub(crate) keys: Vec<(String, String)>,
    pub(crate) block: Arc<Block>,
    /// The rule all its letters were made by.
    pub(crate) hands: Option<StickRule>,
}

/// Blocks with a name, by that name in lower case.
pub(crate) type Library = BTreeMap<String, Known>;

/// A block as plain text.
#[derive(Clone, Debug)]
pub(crate) struct Plain {
    pub(crate) word: BlockWord,
    pub(crate) name: Option<String>,
    pub(crate) title: Option<String>,
    pub(crate) keys: Vec<(String, String)>,
    pub(crate) rows: Vec<String>,
}

impl Plain {
    /// The text, with a line end after each line.
    pub(crate) fn text(&self) -> String {
        let mut text = self.word.as_str().to_owned();
        if let Some(name) = &self.name {
            let _ = write!(text, " {name}");
        }
        if let Some(title) = &self.title {
            let _ = write!(text, " \"{title}\"");
        }
        text.push('\n');
        for (key, value) in &self.keys {
            let _ = writeln!(text, "  {key}: {value}");
        }
        for row in &self.rows {
            let _ = writeln!(text, "  {row}");
        }
        text
    }
}

/// What became of a block that is made.
#[derive(Clone, Debug)]
pub(crate) struct Made {
    /// From its head to the end of its last line.
    pub(crate) span: Span,
    /// How it came about, a line each.
    pub(crate) steps: Vec<String>,
    pub(crate) plain: Vec<Plain>,
    /// The rule all its letters were made by.
    pub(crate) hands: Option<StickRule>,
    /// What stands in its place when it is written out: a stretch of the text, and its new text.
    pub(crate) edits: Vec<(Span, String)>,
}

impl Made {
    /// A block that becomes a plain one.
    pub(crate) fn new(span: Span, steps: Vec<String>, plain: Plain) -> Self {
        Self::several(span, steps, vec![plain])
    }

    /// A block that becomes several plain ones.
    pub(crate) fn several(span: Span, steps: Vec<String>, plain: Vec<Plain>) -> Self {
        let text: Vec<String> = plain.iter().map(Plain::text).collect();
        let edits = vec![(span, text.join("\n").trim_end().to_owned())];
        Self { span, steps, plain, hands: None, edits }
    }
}

/// What a block is made in: the file so far.
pub(crate) struct Maker<'a> {
    pub(crate) context: &'a Context<'a>,
    pub(crate) library: &'a Library,
    /// Names of blocks further down.
    pub(crate) later: &'a [String],
}

impl Maker<'_> {
    pub(crate) fn kit(&self) -> &Kit {
        self.context.kit
    }

    /// A block by its name; a fault where there is none above.
    pub(crate) fn known(
        &self,
        what: &str,
        name: &Word,
        diagnostics: &mut Diagnostics,
    ) -> Option<&Known> {
        let wanted = name.value.to_lowercase();
        if let Some(known) = self.library.get(&wanted) {
            return Some(known);
        }
        let message = format!("{what}: no block above is named `{}`", name.value);
        let mend = if self.later.contains(&wanted) {
            format!("a block is made from what stands above it; move `{}` up", name.value)
        } else {
            match nearest(&wanted, self.library.keys().map(String::as_str)) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "give the block to start from a name, as `fill gallop \"Gallop home\"`"
                    .to_owned(),
            }
        };
        diagnostics.error(name.span, message).elsewhere().mend(mend);
        None
    }

    /// The music of a known block on the kit that is in force here.
    pub(crate) fn phrase(
        &self,
        what: &str,
        known: &Known,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) -> Option<Phrase> {
        match Phrase::of(&known.block, self.kit()) {
            Ok(phrase) if phrase.notes.len() > MOST_NOTES || phrase.bars.len() > MOST_BARS => {
                diagnostics
                    .error(
                        span,
                        format!(
                            "{what}: `{}` is longer than {MOST_BARS} bars or {MOST_NOTES} notes",
                            known.name
                        ),
                    )
                    .mend("take a shorter block");
                None
            }
            Ok(phrase) => Some(phrase),
            Err(instrument) => {
                diagnostics
                    .error(
                        span,
                        format!(
                            "{what}: `{}` plays {instrument}, which this kit has not",
                            known.name
                        ),
                    )
                    .mend("add it to the kit above, or move the block over that kit");
                None
            }
        }
    }

    /// The rows of a phrase.
    pub(crate) fn rows(
        &self,
        what: &str,
        phrase: &Phrase,
        rests: Rests,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) -> Option<Vec<String>> {
        match write::rows(phrase, self.kit(), rests == Rests::Full) {
            Ok(rows) => Some(rows),
            Err(TooFine { bar, beat }) => {
                diagnostics
                    .error(
                        span,
                        format!(
                            "{what}: beat {beat} of bar {bar} comes out too fine to be written"
                        ),
                    )
                    .mend("take a change out, or one that cuts its cells less");
                None
            }
        }
    }

    /// The cells of one beat.
    pub(crate) fn pattern(&self, cells: &str) -> Option<Phrase> {
        self.bars(&format!("exercise\n  time: 1/4\n  play {cells}\n"))
    }

    /// The music of a block of text without a fault.
    pub(crate) fn bars(&self, text: &str) -> Option<Phrase> {
        let mut heard = Diagnostics::default();
        let block = self.read(text, &mut heard)?;
        if heard.has_errors() {
            return None;
        }
        Phrase::of(&block, self.kit()).ok()
    }

    /// A block of text as music; what is found in it goes to `heard`.
    pub(crate) fn read(&self, text: &str, heard: &mut Diagnostics) -> Option<Block> {
        let document = syntax::parse(&Source::new("", text), heard);
        let block = document.items.iter().find_map(|item| match item {
            tree::Item::Block(block) => Some(block),
            _ => None,
        })?;
        let setup = Setup { pickup: None, stick: None, ..self.context.setup.clone() };
        let context = Context { setup: &setup, ..*self.context };
        Some(assemble::block(block, None, &context, heard).0)
    }

    /// A plain block as music; its places are the head line of the block it stands for.
    pub(crate) fn realise(
        &self,
        what: &str,
        plain: &Plain,
        number: Option<u32>,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) -> Option<Block> {
        let mut heard = Diagnostics::default();
        let document = syntax::parse(&Source::new("", plain.text()), &mut heard);
        let block = document.items.iter().find_map(|item| match item {
            tree::Item::Block(block) => Some(block),
            _ => None,
        })?;
        // What letters it is to have stand in its rows.
        let setup = Setup { stick: None, ..self.context.setup.clone() };
        let context = Context { setup: &setup, ..*self.context };
        let (mut block, _) = assemble::block(block, number, &context, &mut heard);
        let mut said: Vec<&str> = Vec::new();
        for found in heard.sorted() {
            if said.contains(&found.message.as_str()) {
                continue;
            }
            said.push(&found.message);
            let message = format!("{what}: {}", found.message);
            let fault = match found.severity {
                Severity::Error => diagnostics.error(span, message),
                Severity::Warning => diagnostics.warning(span, message),
            };
            if let Some(mend) = &found.mend {
                fault.mend(mend.clone());
            }
        }
        replace_spans(&mut block, span);
        Some(block)
    }

    /// What holds in a made block that has these keys; their faults name it.
    pub(crate) fn setup(
        &self,
        what: &str,
        own: &[Setting],
        diagnostics: &mut Diagnostics,
    ) -> Option<Setup> {
        let mut heard = Diagnostics::default();
        let mut setup = self.context.setup.clone();
        let mut unused = Header::default();
        setup.take(own, Place::Block, &mut unused, self.context.systems, &mut heard);
        for found in heard.sorted() {
            let fault = diagnostics.error(found.span, format!("{what}: {}", found.message));
            if let Some(mend) = &found.mend {
                fault.mend(mend.clone());
            }
        }
        (!heard.has_errors()).then_some(setup)
    }

    /// Keys of a block that are kept for what is made from it, under those the made block has.
    pub(crate) fn keys(
        &self,
        what: &str,
        known: &Known,
        own: &[&Setting],
        diagnostics: &mut Diagnostics,
    ) -> Option<Vec<(String, String)>> {
        let own: Vec<Setting> = own.iter().map(|s| (*s).clone()).collect();
        self.setup(what, &own, diagnostics)?;
        let mut keys = known.keys.clone();
        for setting in own {
            let key = setting.key.value.to_lowercase();
            keys.retain(|(k, _)| *k != key);
            keys.push((key, setting.value.value));
        }
        Some(keys)
    }

    /// A variation in plain rows.
    pub(crate) fn variation(
        &self,
        block: &tree::Block,
        diagnostics: &mut Diagnostics,
    ) -> Option<Made> {
        let Some(parent) = &block.parent else {
            diagnostics
                .error(block.span, "this variation does not say what it is a variation of")
                .mend("write the name of its block after `of`, as `variation of gallop`");
            return None;
        };
        let what = match &block.name {
            Some(name) => format!("variation `{}` of `{}`", name.value, parent.value),
            None => format!("variation of `{}`", parent.value),
        };
        let known = self.known(&what, parent, diagnostics)?;
        let mut phrase = self.phrase(&what, known, parent.span, diagnostics)?;
        let (changes, own) = self.changes(&what, block, diagnostics)?;
        let keys = self.keys(&what, known, &own, diagnostics)?;
        let rests = known.block.settings.rests;
        let mut steps = vec![format!("{what}: it starts as `{}`:", known.name)];
        let start = self.rows(&what, &phrase, rests, block.span, diagnostics)?;
        steps.extend(start.iter().map(|row| format!("    {row}")));
        let mut said = Vec::new();
        // A sticking made by a rule is made anew from what the notes become, unless a line is about
        // the letters themselves.
        let mut rule = known.hands;
        for (setting, change) in &changes {
            if change.is_about_hands()
                && let Some(rule) = rule.take()
            {
                hands::stick(&mut phrase, self.kit(), rule);
            }
            let words = format!("{}: {}", setting.key.value, setting.value.value);
            let done = match change.apply(&mut phrase, self.kit()) {
                Ok(done) => done,
                Err((message, mend)) => {
                    let span = setting.key.span.join(setting.value.span);
                    diagnostics.error(span, format!("{what}: {message}")).mend(mend);
                    return None;
                }
            };
            steps.push(format!("{}. `{words}`: {done}", said.len() + 1));
            let rows = self.rows(&what, &phrase, rests, setting.value.span, diagnostics)?;
            steps.extend(rows.iter().map(|row| format!("    {row}")));
            said.push(words);
        }
        if let Some(rule) = rule {
            hands::stick(&mut phrase, self.kit(), rule);
            steps.push(format!(
                "`stick: {}` as in `{}`: {}",
                rule.words(),
                known.name,
                rule.told()
            ));
        }
        let title = block.title.as_ref().map(|t| t.value.clone()).or_else(|| {
            known.title.as_ref().map(|title| match said.is_empty() {
                true => title.clone(),
                false => format!("{title} ({})", said.join("; ")),
            })
        });
        let rows = self.rows(&what, &phrase, rests, block.span, diagnostics)?;
        let plain = Plain {
            word: known.word,
            name: block.name.as_ref().map(|n| n.value.clone()),
            title,
            keys,
            rows,
        };
        Some(Made { hands: rule, ..Made::new(reach(block), steps, plain) })
    }

    /// The changes of a block in the written order, and its other keys.
    #[allow(clippy::type_complexity, reason = "two lists that are taken apart at once")]
    fn changes<'b>(
        &self,
        what: &str,
        block: &'b tree::Block,
        diagnostics: &mut Diagnostics,
    ) -> Option<(Vec<(&'b Setting, Change)>, Vec<&'b Setting>)> {
        let (mut changes, mut own) = (Vec::new(), Vec::new());
        let mut good = true;
        for setting in block.sets.iter().flat_map(|s| &s.settings) {
            let key = setting.key.value.to_lowercase();
            let pattern = |cells: &str| self.pattern(cells);
            match Change::read(&key, &setting.value.value, self.kit(), &pattern) {
                Some(Ok(change)) => changes.push((setting, change)),
                Some(Err(may_be)) => {
                    good = false;
                    no_value(what, setting, may_be, diagnostics);
                }
                None if keys::is_block_key(&key) => own.push(setting),
                None => {
                    good = false;
                    unknown(what, setting, &WORDS, diagnostics);
                }
            }
        }
        if changes.len() > MOST_CHANGES {
            diagnostics
                .error(
                    block.span,
                    format!("{what}: more than {MOST_CHANGES} lines change something"),
                )
                .mend("make a variation of a variation");
            good = false;
        }
        good.then_some((changes, own))
    }
}

/// Reports a key that a made block does not know.
pub(crate) fn unknown(
    what: &str,
    setting: &Setting,
    words: &[&'static str],
    diagnostics: &mut Diagnostics,
) {
    let word = setting.key.value.as_str();
    let known = words.iter().copied().chain(keys::block_keys());
    let mend = match nearest(word, known) {
        Some(near) => format!("did you mean `{near}:`?"),
        None => format!("it may say {}", say::listed(words.iter().copied())),
    };
    diagnostics.error(setting.key.span, format!("{what}: there is no word `{word}`")).mend(mend);
}

/// Reports a value that a line of a made block cannot have; `may_be` says what it may be.
pub(crate) fn no_value(
    what: &str,
    setting: &Setting,
    may_be: String,
    diagnostics: &mut Diagnostics,
) {
    let key = setting.key.value.to_lowercase();
    let message = format!("{what}: `{}` is no value for `{key}`", setting.value.value);
    diagnostics.error(setting.value.span, message).mend(may_be);
}

/// A block from its head to the end of its last line.
pub(crate) fn reach(block: &tree::Block) -> Span {
    let settings = block.sets.iter().flat_map(|s| &s.settings);
    settings.fold(block.span, |span, s| span.join(s.value.span))
}

fn replace_spans(block: &mut Block, span: Span) {
    block.span = span;
    for bar in &mut block.bars {
        bar.span = span;
        bar.upper.hits.iter_mut().chain(&mut bar.lower.hits).for_each(|h| h.set_span(span));
        bar.sticking.iter_mut().chain(&mut bar.pedalling).for_each(|s| s.span = span);
        bar.words.iter_mut().for_each(|w| w.span = span);
        bar.dynamics.iter_mut().for_each(|d| d.span = span);
        bar.marks.iter_mut().for_each(|m| m.span = span);
    }
}

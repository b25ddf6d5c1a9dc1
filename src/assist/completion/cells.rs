//! What may stand in a row.

use super::super::kits::{asked, kit_at};
use super::super::lines::{BlockPlace, Written};
use super::super::spoken;
use super::super::view::View;
use super::super::words::{KIT_WORDS, MARKS, Told};
use super::item::{Completion, CompletionKind, completion};
use crate::interpret::counting::CountingSystem;
use crate::score::dynamic::Letters;
use crate::score::kit::Limb;
use crate::score::{BlockWord, HitsRow, Kit, RowWord, WordsRow};
use crate::source::Span;

/// The hits of a row of one instrument, and what they mean.
const HITS: [(&str, &str); 6] = [
    ("x", "a hit"),
    ("X", "accented"),
    ("g", "ghosted"),
    ("G", "ghosted and accented"),
    (".", "silence"),
    ("-", "the hit before goes on"),
];
/// What a row of the hi-hat has beside them.
const HAT: [(&str, &str); 2] = [("o", "open"), ("h", "half-open")];
/// Letters of a sticking.
const BAND: [(&str, &str); 4] = [
    ("x", "the band plays"),
    ("X", "the band plays, accented"),
    (".", "silence"),
    ("-", "the hit before goes on"),
];
const STICKS: [(&str, &str); 7] = [
    ("R", "right"),
    ("L", "left"),
    ("B", "both"),
    ("r", "a grace note with the right"),
    ("l", "a grace note with the left"),
    (".", "silence"),
    ("-", "a hit without a letter"),
];
/// What changes by and by in a row of dynamics.
const GRADUAL: [(&str, &str); 5] = [
    ("<", "louder and louder"),
    (">", "softer and softer"),
    ("!", "a hairpin ends"),
    ("cresc", "louder and louder, in words"),
    ("dim", "softer and softer, in words"),
];

pub(super) fn of(view: &View<'_>, written: &Written<'_>, block: BlockPlace) -> Vec<Completion> {
    let mut words = written.before.split([' ', '\t']);
    let name = words.next().unwrap_or("");
    match block.word {
        BlockWord::Kit => return of_kit(written),
        BlockWord::Syllables | BlockWord::Edition | BlockWord::Variation | BlockWord::Series => {
            return Vec::new();
        }
        BlockWord::Groove
        | BlockWord::Fill
        | BlockWord::Exercise
        | BlockWord::Rudiment
        | BlockWord::Context => {}
    }
    let tree = view.block_at(block.at);
    let wanted = tree.and_then(|tree| asked(tree.settings()).map(str::to_owned));
    let kit = || kit_at(view, block.at, wanted.as_deref());
    match RowWord::read(name) {
        RowWord::Count => counts(written),
        RowWord::Hits(HitsRow::Play | HitsRow::Limb(_)) => letters(written, &kit()),
        RowWord::Hits(HitsRow::Instrument(name)) => hits(written, &name, &kit()),
        RowWord::Hits(HitsRow::Band) => here(written, &BAND),
        RowWord::Sticks(Limb::Hands | Limb::Feet) => here(written, &STICKS),
        RowWord::Words(WordsRow::Dyn) => dynamics(written),
        RowWord::Words(WordsRow::Say | WordsRow::Cue) => Vec::new(),
        RowWord::Words(WordsRow::Mark) => marks(written),
    }
}

/// Letters and signs that are put in where the next one stands.
fn here(written: &Written<'_>, signs: &[(&str, &str)]) -> Vec<Completion> {
    let span = Span::new(written.offset, written.offset);
    let each = |(sign, about): &(&str, &str)| {
        let one = completion(written, CompletionKind::Letter, sign, (*about).to_owned());
        Completion { span, ..one }
    };
    signs.iter().map(each).collect()
}

/// The letters of a kit, each with its drum.
fn letters(written: &Written<'_>, kit: &Kit) -> Vec<Completion> {
    let named = kit.instruments.iter().filter_map(|instrument| {
        Some((instrument.letter?.to_string(), spoken::instrument(instrument)))
    });
    let named: Vec<(String, String)> = named.collect();
    let mut signs: Vec<(&str, &str)> =
        named.iter().map(|(letter, about)| (letter.as_str(), about.as_str())).collect();
    signs.extend([(".", "silence"), ("-", "the hit before goes on")]);
    here(written, &signs)
}

fn hits(written: &Written<'_>, name: &str, kit: &Kit) -> Vec<Completion> {
    let Some(instrument) = kit.by_name(name).and_then(|id| kit.get(id)) else { return Vec::new() };
    let mut signs = HITS.to_vec();
    if instrument.is_closed_hat() {
        signs.extend(HAT);
    }
    here(written, &signs)
}

fn dynamics(written: &Written<'_>) -> Vec<Completion> {
    let letters = Letters::all()
        .map(|letters| completion(written, CompletionKind::Value, letters, "a dynamic".to_owned()));
    letters.chain(here(written, &GRADUAL)).collect()
}

/// The words of a table.
fn told<'a>(
    written: &Written<'_>,
    table: &'a [Told],
) -> impl Iterator<Item = Completion> + use<'a> {
    let span = written.word_span();
    table.iter().flat_map(move |told| {
        told.words.iter().map(move |word| Completion {
            label: (*word).to_owned(),
            kind: CompletionKind::Value,
            about: told.about.to_owned(),
            span,
            text: (*word).to_owned(),
        })
    })
}

fn marks(written: &Written<'_>) -> Vec<Completion> {
    told(written, MARKS).collect()
}

/// What a row of a kit says after its name.
fn of_kit(written: &Written<'_>) -> Vec<Completion> {
    if !written.before.contains(',') {
        return Vec::new();
    }
    let typed = written.before.rsplit(',').next().unwrap_or("").trim_start();
    let span = Span::new(written.offset - typed.len(), written.offset);
    told(written, KIT_WORDS).map(|one| Completion { span, ..one }).collect()
}

/// The syllables of the usual system.
fn counts(written: &Written<'_>) -> Vec<Completion> {
    let mut words: Vec<String> = ('1'..='4').map(String::from).collect();
    for (_, row) in CountingSystem::numbers().plain {
        for word in row {
            if word != "#"
                && !words.contains(&word)
                && !word.starts_with(|c: char| c.is_ascii_digit())
            {
                words.push(word);
            }
        }
    }
    let each = |word: &String| {
        completion(written, CompletionKind::Value, word, "a syllable of the count".to_owned())
    };
    words.iter().map(each).collect()
}

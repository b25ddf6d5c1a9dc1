//! Every file of `examples/` and `demo/` builds without a fault or a warning and shows what it is
//! named after.

use crate::built::{bars, clean, files, number_of, root};
use crate::picture::FONTS;
use crate::{case, read, stem};
use flamacue::Compiled;
use flamacue::drawing::Kind;
use libtest_mimic::Trial;
use std::path::{Path, PathBuf};

/// What each example must have on its pages.
const SHOWS: &[(&str, &[Kind])] = &[
    ("accents-and-ghosts", &[Kind::Accent, Kind::GhostBracket]),
    ("additive-time", &[Kind::TimeSignature, Kind::Beam]),
    ("bars-of-rest", &[Kind::Rest, Kind::BarRepeat]),
    ("bars-on-a-line", &[Kind::BarNumber]),
    ("band-over-slashes", &[Kind::Stem, Kind::Rest, Kind::Notehead]),
    ("beams-by-key", &[Kind::Beam, Kind::TimeSignature]),
    ("beams-and-rests", &[Kind::Beam, Kind::Rest]),
    ("book", &[Kind::RunningHead, Kind::Heading, Kind::Number, Kind::Foot, Kind::Subtitle]),
    ("breath-and-caesura", &[Kind::Articulation]),
    ("buzz-roll", &[Kind::Buzz, Kind::Tie]),
    ("cells-of-a-beat", &[Kind::Tuplet, Kind::Beam]),
    ("cadence", &[Kind::PlayerName, Kind::PlayerBracket, Kind::BarRepeat]),
    ("changing-time", &[Kind::TimeSignature, Kind::Grace]),
    ("choked-cymbal", &[Kind::Choke]),
    ("comments", &[Kind::Stroke]),
    ("common-and-cut-time", &[Kind::TimeSignature]),
    ("compound-counting", &[Kind::Count]),
    ("compound-time", &[Kind::Beam, Kind::GhostBracket]),
    ("context-of-players", &[Kind::PlayerName, Kind::PlayerBracket, Kind::Number]),
    ("context", &[Kind::BarRepeat, Kind::Ending, Kind::Sticking]),
    ("count-first", &[Kind::Count, Kind::Sticking]),
    ("count-trip-let", &[Kind::Tuplet, Kind::Count]),
    ("count-words", &[Kind::Count]),
    ("counting-systems", &[Kind::Count]),
    ("counts-all", &[Kind::Count, Kind::Rest]),
    ("counts-none", &[Kind::Sticking]),
    ("double-barline", &[Kind::Barline]),
    ("duet", &[Kind::PlayerName, Kind::PlayerBracket, Kind::Section]),
    ("cues", &[Kind::PlayerName, Kind::Rest]),
    ("dynamics", &[Kind::Dynamic, Kind::Hairpin]),
    ("fills-in-context", &[Kind::Hairpin, Kind::Number, Kind::Grace, Kind::BarRepeat, Kind::Words]),
    ("first-bar", &[Kind::Clef, Kind::TimeSignature, Kind::StaffLine, Kind::Stem]),
    ("flam-drag-ruff", &[Kind::Grace, Kind::GraceSlash, Kind::Sticking]),
    ("forty-rudiments", &[Kind::Grace, Kind::Buzz, Kind::Tuplet, Kind::Accent, Kind::Sticking]),
    ("front-matter", &[Kind::Foot, Kind::Subtitle, Kind::Heading]),
    ("full-rests", &[Kind::Rest]),
    ("grace-slurs", &[Kind::Slur]),
    ("handout-editions", &[Kind::Sticking, Kind::Subtitle, Kind::Heading]),
    ("headings-and-prose", &[Kind::Heading, Kind::Text, Kind::Subtitle, Kind::Author, Kind::Foot]),
    ("held-values", &[Kind::Tie, Kind::Dot, Kind::Tuplet]),
    ("inside-the-beat", &[Kind::Gradual, Kind::Dynamic, Kind::Hairpin, Kind::Words]),
    ("hi-hat-openings", &[Kind::Opening]),
    ("holds", &[Kind::Tie, Kind::Dot]),
    ("instrument-rows", &[Kind::Notehead, Kind::GhostBracket]),
    ("kit-block", &[Kind::Notehead, Kind::Ledger]),
    ("kit-facts", &[Kind::Choke, Kind::Ledger, Kind::Words]),
    ("kit-letters", &[Kind::Words, Kind::Ledger]),
    ("levels", &[Kind::Level, Kind::Tempo, Kind::Number]),
    ("lines-asked-for", &[Kind::BarNumber]),
    ("longer-blocks", &[Kind::Notehead]),
    ("marks-over-the-staff", &[Kind::Section, Kind::Sign, Kind::Tempo, Kind::Swing, Kind::Words]),
    ("metric-modulation", &[Kind::Tempo, Kind::TimeSignature]),
    ("nested-tuplets", &[Kind::Tuplet]),
    ("noteheads", &[Kind::Notehead, Kind::Ledger]),
    ("no-time-signature", &[Kind::Notehead, Kind::Articulation]),
    ("over-the-barline", &[Kind::Tuplet, Kind::Tie]),
    ("notation-key", &[Kind::Heading, Kind::Words, Kind::Buzz, Kind::Choke]),
    ("odd-time", &[Kind::TimeSignature]),
    ("one-line-staff", &[Kind::StaffLine, Kind::Sticking]),
    ("one-voice", &[Kind::Beam, Kind::Sticking]),
    ("order-by-level", &[Kind::Level, Kind::Number, Kind::Text]),
    ("page-and-staff-size", &[Kind::StaffLine]),
    ("pedal-row", &[Kind::Pedalling]),
    ("pickup-bar", &[Kind::Barline]),
    ("play-row", &[Kind::Accent]),
    ("playable", &[Kind::Sticking, Kind::Words]),
    ("prose", &[Kind::Heading, Kind::Text, Kind::Rule]),
    ("references", &[Kind::Text, Kind::Number, Kind::Heading]),
    ("repeated-bars", &[Kind::BarRepeat]),
    ("repeats-and-endings", &[Kind::RepeatDot, Kind::Ending]),
    ("rests", &[Kind::Rest]),
    ("rhythm-only", &[Kind::Words, Kind::Count]),
    ("roll-numbers", &[Kind::RollNumber, Kind::Tie]),
    ("rolls-and-ties", &[Kind::Stroke, Kind::Tie]),
    ("series", &[Kind::Accent, Kind::Words, Kind::Sticking]),
    ("several-bars-again", &[Kind::BarRepeat]),
    ("short-and-long", &[Kind::Articulation, Kind::Choke]),
    ("split-cells", &[Kind::Beam]),
    ("side-by-side", &[Kind::Title, Kind::Number]),
    ("signs-on-the-stem", &[Kind::Stroke, Kind::Heading]),
    ("spread-groups", &[Kind::Tuplet]),
    ("sticking-first", &[Kind::Sticking, Kind::Grace, Kind::Accent]),
    ("sticking-hidden", &[Kind::Grace]),
    ("sticking-row", &[Kind::Sticking]),
    ("sticking-rules", &[Kind::Sticking, Kind::Grace]),
    ("strokes-and-diddles", &[Kind::Stroke]),
    ("style-book", &[Kind::BarRepeat]),
    ("style-screen", &[Kind::Sticking]),
    ("style-stand", &[Kind::Notehead, Kind::Sticking]),
    ("struck-together", &[Kind::Notehead]),
    ("swing", &[Kind::Swing]),
    ("tempo", &[Kind::Tempo]),
    ("time-at-a-line-end", &[Kind::TimeSignature]),
    ("two-voices", &[Kind::Stem, Kind::Rest]),
    ("variations", &[Kind::Stroke, Kind::GhostBracket, Kind::Sticking, Kind::Tuplet]),
    ("words-under-notes", &[Kind::Words]),
    ("workbook", &[Kind::Blank, Kind::Sticking, Kind::Count, Kind::Heading]),
    ("bar-numbers", &[Kind::BarNumber, Kind::Section]),
    ("page-turns", &[Kind::BarNumber]),
    ("grace-on-other-drums", &[Kind::Grace, Kind::GraceSlash, Kind::Slur]),
    ("unclear-and-ringing", &[Kind::Unclear, Kind::Tie, Kind::Accent, Kind::GhostBracket]),
    ("other-hand", &[Kind::Sticking]),
    ("bars-of-time", &[Kind::Notehead, Kind::BarRepeat]),
    ("phrases", &[Kind::Phrase]),
    ("practice", &[Kind::Tempo, Kind::Sticking, Kind::BarRepeat]),
    (
        "transcription",
        &[Kind::Phrase, Kind::Unclear, Kind::Section, Kind::BarNumber, Kind::BarRepeat],
    ),
];

/// An example without a line in the table fails, and so does a line without an example.
pub fn cases() -> Vec<Trial> {
    let table = SHOWS.iter().map(|(name, _)| root().join(format!("examples/{name}.flam")));
    let mut examples: Vec<PathBuf> = files("examples").into_iter().chain(table).collect();
    examples.sort();
    examples.dedup();
    let examples = examples.into_iter().map(|path| {
        case(format!("example::{}", stem(&path)), move || {
            let name = stem(&path);
            let line = SHOWS.iter().find(|(named, _)| *named == name);
            let (_, kinds) = line.expect("a line in the table of what each example must show");
            complain(&faults(&path, kinds));
        })
    });
    let demo = files("demo")
        .into_iter()
        .map(|path| case(format!("demo::{}", stem(&path)), move || complain(&faults(&path, &[]))));
    examples.chain(demo).collect()
}

fn complain(faults: &[String]) {
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Everything that is wrong with what a file builds to, where it must show marks of some kinds.
fn faults(path: &Path, kinds: &[Kind]) -> Vec<String> {
    let text = read(path);
    let compiled = match clean(&FONTS, &path.display().to_string(), &text) {
        Ok(compiled) => compiled,
        Err(found) => return vec![found],
    };
    let mut faults = without_music(&compiled);
    let missing = kinds.iter().filter(|kind| total(&compiled, **kind) == 0);
    faults.extend(missing.map(|kind| format!("no {}", kind.name())));
    faults.extend(rows_not_as_asked(&compiled, &with_included(path, text)));
    faults
}

fn without_music(compiled: &Compiled) -> Vec<String> {
    let mut faults = Vec::new();
    if compiled.drawing.pages.is_empty() {
        faults.push("no page".to_owned());
    }
    if compiled.blocks.is_empty() {
        faults.push("no block".to_owned());
    }
    for (name, picture) in &compiled.blocks {
        if number_of(picture, Kind::Notehead) == 0 {
            faults.push(format!("no notes in {name}"));
        }
        if bars(picture).is_empty() {
            faults.push(format!("no bar in {name}"));
        }
    }
    faults
}

/// Counts and stickings stand where the text asks for them and nowhere else.
fn rows_not_as_asked(compiled: &Compiled, text: &str) -> Vec<String> {
    let has_row = |row: &str| text.lines().any(|line| line.trim().starts_with(row));
    let letters = ["stick ", "stick:", "stickings:", "sticking: alternate"];
    let letters = letters.iter().any(|row| has_row(row)) && !has_row("sticking: none");
    let wanted = [
        (Kind::Count, !has_row("counts: none") || has_row("player ")),
        (Kind::Sticking, letters),
        (Kind::Pedalling, has_row("pedal ")),
    ];
    let wrong = wanted.iter().filter(|(kind, asked)| (total(compiled, *kind) > 0) != *asked);
    wrong.map(|(kind, asked)| format!("{}: asked for is {asked}", kind.name())).collect()
}

fn total(compiled: &Compiled, kind: Kind) -> usize {
    compiled.drawing.pages.iter().map(|page| number_of(page, kind)).sum()
}

/// A text and those that stand beside it and are included in it.
fn with_included(path: &Path, mut text: String) -> String {
    let names: Vec<_> = text.lines().filter_map(|line| line.strip_prefix("include ")).collect();
    let included: Vec<_> = names.iter().map(|name| read(&path.with_file_name(name))).collect();
    text.extend(included);
    text
}

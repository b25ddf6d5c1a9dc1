//! Which editions of a text are built, and the parts of which players, and where each goes.

use super::args::Build;
use super::outcome::Failure;
use super::plan::Target;
use super::report::shown;
use flamacue::derive::Budget;
use flamacue::score::{Score, name_key};
use flamacue::source::{Diagnostics, Source};
use std::path::Path;

/// A text as it is built: as it stands, or in an edition; for all players, or for one.
#[derive(Debug)]
pub struct Variant {
    /// The name of the edition; nothing for the text as it stands.
    pub edition: Option<String>,
    /// The player whose pages these are.
    pub player: Option<String>,
    pub target: Target,
}

impl Variant {
    /// How messages call it.
    pub fn of(&self, file: &Path) -> String {
        let text = match &self.edition {
            Some(name) => format!("the edition `{name}` of {}", shown(file)),
            None => shown(file),
        };
        match &self.player {
            Some(player) => format!("the part `{player}` of {text}"),
            None => text,
        }
    }
}

/// What the command line asks to be built of a text.
pub fn wanted(wanted: &Build, source: &Source, target: &Target) -> Result<Vec<Variant>, Failure> {
    let editions = editions(wanted, source, target)?;
    if !wanted.parts && wanted.part.is_empty() {
        return Ok(editions);
    }
    let known = flamacue::players(source);
    let mut players: Vec<String> = Vec::new();
    for asked in &wanted.part {
        let player = find(asked, &known, source, Sought::Player)?;
        if !players.contains(&player) {
            players.push(player);
        }
    }
    if wanted.parts {
        players = known;
    }
    let mut variants = Vec::new();
    for edition in editions {
        for player in &players {
            let target = edition.target.of_edition(&file_word(player)).ok_or_else(one_only)?;
            let (edition, player) = (edition.edition.clone(), Some(player.clone()));
            variants.push(Variant { edition, player, target });
        }
        if wanted.parts {
            variants.push(edition);
        }
    }
    if let ([one], true) = (variants.as_mut_slice(), is_named(wanted)) {
        one.target = target.clone();
    }
    Ok(variants)
}

/// A player's name as a part of the name of a file.
fn file_word(player: &str) -> String {
    let kept = |c: char| if c.is_alphanumeric() { c } else { '-' };
    player.to_lowercase().chars().map(kept).collect()
}

fn one_only() -> Failure {
    Failure::new("standard output takes one PDF only: say where to write with -o")
}

/// The editions that are asked for.
fn editions(wanted: &Build, source: &Source, target: &Target) -> Result<Vec<Variant>, Failure> {
    let as_it_stands = || Variant { edition: None, player: None, target: target.clone() };
    if !wanted.editions && wanted.edition.is_empty() {
        return Ok(vec![as_it_stands()]);
    }
    let known = flamacue::editions(source);
    if wanted.editions {
        let mut all = vec![as_it_stands()];
        for name in known {
            all.push(variant(target, name)?);
        }
        return Ok(all);
    }
    let mut variants: Vec<Variant> = Vec::new();
    for asked in &wanted.edition {
        let name = find(asked, &known, source, Sought::Edition)?;
        let is_it = |variant: &Variant| variant.edition.as_ref() == Some(&name);
        if !variants.iter().any(is_it) {
            variants.push(variant(target, name)?);
        }
    }
    if let ([one], true) = (variants.as_mut_slice(), is_named(wanted)) {
        one.target = target.clone();
    }
    Ok(variants)
}

/// Whether the command line gives the one thing that is written a name of its own.
fn is_named(wanted: &Build) -> bool {
    let is_file = |path: &Path| path.extension().is_some() && !path.is_dir();
    wanted.files.len() == 1 && !wanted.each && wanted.output.as_deref().is_some_and(is_file)
}

fn variant(target: &Target, name: String) -> Result<Variant, Failure> {
    let target = target.of_edition(&name).ok_or_else(one_only)?;
    Ok(Variant { edition: Some(name), player: None, target })
}

/// What is looked for by its name.
#[derive(Clone, Copy)]
enum Sought {
    Edition,
    Player,
}

impl Sought {
    fn word(self) -> &'static str {
        match self {
            Self::Edition => "edition",
            Self::Player => "player",
        }
    }
}

/// The name of an edition that is asked for, as the text has it.
pub fn named(asked: &str, source: &Source) -> Result<String, Failure> {
    find(asked, &flamacue::editions(source), source, Sought::Edition)
}

/// The name of an edition or a player, as the text has it.
fn find(asked: &str, known: &[String], source: &Source, sought: Sought) -> Result<String, Failure> {
    let found = known.iter().find(|own| name_key(own) == name_key(asked));
    found.cloned().ok_or_else(|| {
        let text = shown(Path::new(source.name()));
        let (asked, word) = (shown(Path::new(asked)), sought.word());
        let names: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
        let line = match sought {
            Sought::Edition => format!("a line `edition {asked}` with keys under it"),
            Sought::Player => format!("a line `player \"{asked}\"` with rows under it"),
        };
        match names.is_empty() {
            true => Failure(format!(
                "{text} has no {word} `{asked}`, nor any other: write one, as {line}"
            )),
            false => {
                Failure(format!("{text} has no {word} `{asked}`; it has {}", names.join(", ")))
            }
        }
    })
}

/// What a text means as it stands, or in an edition.
pub fn score(
    source: &Source,
    (edition, player): (Option<&str>, Option<&str>),
    budget: Budget,
    diagnostics: &mut Diagnostics,
) -> Score {
    let score = match edition {
        Some(name) => flamacue::understand_edition(source, name, budget, diagnostics),
        None => flamacue::understand_within(source, budget, diagnostics),
    };
    player.and_then(|player| score.part_of(player)).unwrap_or(score)
}

/// Takes what was found in a text as it stands, or in an edition beside that.
pub fn take(edition: Option<&str>, found: Diagnostics, diagnostics: &mut Diagnostics) {
    let found = match edition {
        Some(name) => found.of_edition(name, diagnostics),
        None => found,
    };
    diagnostics.absorb(found, 0);
}

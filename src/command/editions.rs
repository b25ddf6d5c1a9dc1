//! Which editions of a text are built, and where each goes.

use super::args::Build;
use super::outcome::Failure;
use super::plan::Target;
use super::report::shown;
use flamacue::derive::Budget;
use flamacue::score::{Score, name_key};
use flamacue::source::{Diagnostics, Source};
use std::path::Path;

/// A text as it is built: as it stands, or in an edition.
#[derive(Debug)]
pub struct Variant {
    /// The name of the edition; nothing for the text as it stands.
    pub edition: Option<String>,
    pub target: Target,
}

/// What the command line asks to be built of a text.
pub fn wanted(wanted: &Build, source: &Source, target: &Target) -> Result<Vec<Variant>, Failure> {
    let as_it_stands = || Variant { edition: None, target: target.clone() };
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
        let name = find(asked, &known, source)?;
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
    let target = target.of_edition(&name).ok_or_else(|| {
        Failure::new("standard output takes one PDF only: say where to write editions with -o")
    })?;
    Ok(Variant { edition: Some(name), target })
}

/// The edition of a name, as the text has it.
fn find(asked: &str, known: &[String], source: &Source) -> Result<String, Failure> {
    let found = known.iter().find(|own| name_key(own) == name_key(asked));
    found.cloned().ok_or_else(|| {
        let text = shown(Path::new(source.name()));
        let asked = shown(Path::new(asked));
        let names: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
        match names.is_empty() {
            true => Failure(format!(
                "{text} has no edition `{asked}`, nor any other: write one, as a line `edition {asked}` with keys under it"
            )),
            false => Failure(format!(
                "{text} has no edition `{asked}`; it has {}",
                names.join(", ")
            )),
        }
    })
}

/// What a text means as it stands, or in an edition.
pub fn score(
    source: &Source,
    edition: Option<&str>,
    budget: Budget,
    diagnostics: &mut Diagnostics,
) -> Score {
    match edition {
        Some(name) => flamacue::understand_edition(source, name, budget, diagnostics),
        None => flamacue::understand_within(source, budget, diagnostics),
    }
}

/// Takes what was found in a text as it stands, or in an edition beside that.
pub fn take(edition: Option<&str>, mut found: Diagnostics, diagnostics: &mut Diagnostics) {
    if let Some(name) = edition {
        let known: Vec<_> = diagnostics.sorted().into_iter().cloned().collect();
        found.retain(|one| !known.contains(one));
        found.in_what(&format!("edition `{name}`"));
    }
    diagnostics.absorb(found, 0);
}

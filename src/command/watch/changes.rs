//! Which pages came to look different, in words.

use crate::command::fingerprint::fingerprint;
use crate::command::output::Output;
use crate::command::report::shown;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// How what was written last looked, by file.
#[derive(Default)]
pub struct Looks(BTreeMap<PathBuf, Vec<u64>>);

impl Looks {
    /// What is different in what is to be written, in words; it is what was written last from now on.
    pub fn changes(&mut self, outputs: &[Output]) -> String {
        let now: BTreeMap<PathBuf, Vec<u64>> = outputs.iter().filter_map(look).collect();
        let first = self.0.is_empty();
        let told: Vec<String> = now
            .iter()
            .filter_map(|(path, pages)| {
                let what = match self.0.get(path) {
                    None => format!("written{}", several(pages.len())),
                    Some(before) => changed(before, pages)?,
                };
                Some(format!("{}: {what}", shown(path)))
            })
            .collect();
        self.0 = now;
        match told.as_slice() {
            [] if first => "there is nothing to write".to_owned(),
            [] => "every page looks as it did".to_owned(),
            [one] => one.clone(),
            [first, rest @ ..] => match rest.len() {
                1..=3 => told.join("; "),
                more => format!("{first}; and {more} more files"),
            },
        }
    }
}

/// How a file looks: a number for each page, or one for all of it.
fn look(output: &Output) -> Option<(PathBuf, Vec<u64>)> {
    match output {
        Output::File { path, bytes, pages } => {
            let looks = if pages.is_empty() { vec![fingerprint(bytes)] } else { pages.clone() };
            Some((path.clone(), looks))
        }
        Output::Sound { path, recording } => Some((path.clone(), vec![recording.fingerprint()])),
        Output::Standard(_) => None,
    }
}

fn several(pages: usize) -> String {
    if pages > 1 { format!(", {pages} pages") } else { String::new() }
}

/// Which pages are not as they were; nothing where all are.
fn changed(before: &[u64], now: &[u64]) -> Option<String> {
    let differs = |page: &usize| before.get(*page) != now.get(*page);
    let pages: Vec<usize> = (0..now.len()).filter(differs).map(|page| page + 1).collect();
    let gone = before.len().saturating_sub(now.len());
    let gone = match gone {
        0 => String::new(),
        1 => "one page less".to_owned(),
        more => format!("{more} pages less"),
    };
    let told = match pages.as_slice() {
        [] if gone.is_empty() => return None,
        [] => return Some(gone),
        _ if now.len() == 1 => "changed".to_owned(),
        all if all.len() == now.len() => format!("all {} pages changed", now.len()),
        [one] => format!("page {one} changed"),
        many => format!("pages {} changed", runs(many)),
    };
    Some(if gone.is_empty() { told } else { format!("{told}, {gone}") })
}

/// `2, 4 to 7 and 9`.
fn runs(pages: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &page in pages {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == page => *last = page,
            Some(_) | None => runs.push((page, page)),
        }
    }
    let words: Vec<String> = runs
        .into_iter()
        .map(|(first, last)| match last - first {
            0 => first.to_string(),
            1 => format!("{first}, {last}"),
            _ => format!("{first} to {last}"),
        })
        .collect();
    match words.as_slice() {
        [before @ .., last] if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        _ => words.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_told_in_runs() {
        for (before, now, told) in [
            (&[1, 2, 3][..], &[1, 2, 3][..], None),
            (&[1], &[2], Some("changed")),
            (&[1, 2, 3], &[1, 9, 3], Some("page 2 changed")),
            (&[1, 2, 3], &[1, 2], Some("one page less")),
            (&[1, 2], &[1, 2, 3, 4, 5], Some("pages 3 to 5 changed")),
            (&[1, 2], &[3, 4], Some("all 2 pages changed")),
            (&[1, 2, 3, 4, 5, 6], &[0, 2, 0, 0, 0, 6], Some("pages 1 and 3 to 5 changed")),
            (&[1, 2, 3, 4], &[0, 2], Some("page 1 changed, 2 pages less")),
        ] {
            assert_eq!(changed(before, now).as_deref(), told);
        }
    }
}

//! One build after another, and what is told of each.

use super::changes::Looks;
use crate::command::args::Build;
use crate::command::files::Reader;
use crate::command::outcome::Failure;
use crate::command::plan::Target;
use crate::command::press::Teller;
use crate::command::{build, output, report};
use flamacue::source::{Diagnostics, Source};
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// Builds of the same files.
pub struct Rounds<'a> {
    wanted: &'a Build,
    targets: &'a [Target],
    looks: Looks,
    /// What was told last of what is wrong.
    told: String,
    built: bool,
}

impl<'a> Rounds<'a> {
    pub fn new(wanted: &'a Build, targets: &'a [Target]) -> Self {
        Self { wanted, targets, looks: Looks::default(), told: String::new(), built: false }
    }

    /// Builds all files and tells what came of it; the files that were looked for, each with a number of what was read of it.
    pub fn build(&mut self) -> Vec<(PathBuf, Option<u64>)> {
        let begun = Instant::now();
        let reader = Reader::new(&self.wanted.roots);
        let mut found: Vec<(Source, Diagnostics)> = Vec::new();
        let mut teller = Teller {
            begin: &mut |_| {},
            find: &mut |source, diagnostics| {
                if !diagnostics.is_empty() {
                    found.push((source.clone(), diagnostics.clone()));
                }
            },
            pages: true,
        };
        let made = build::press(self.wanted, &reader).and_then(|mut press| {
            build::outputs(&mut press, (self.wanted, self.targets), &mut teller)
        });
        let line = made.and_then(|outputs| {
            let Some(mut outputs) = outputs else { return Ok(None) };
            let changes = self.looks.changes(&outputs);
            output::put(self.wanted, &mut outputs)?;
            Ok(Some(changes))
        });
        self.tell(&found, line, begun.elapsed());
        let named = self.wanted.files.iter().chain(&self.wanted.style);
        named.map(|path| (path.clone(), None)).chain(reader.sought()).collect()
    }

    /// Tells what is wrong, where that was not told last, and what changed.
    fn tell(
        &mut self,
        found: &[(Source, Diagnostics)],
        line: Result<Option<String>, Failure>,
        time: Duration,
    ) {
        let mut wrong: String =
            found.iter().map(|(source, found)| found.render(source, false)).collect();
        if let Err(Failure(why)) = &line {
            wrong.push_str(why);
        }
        if wrong != self.told {
            found.iter().for_each(|(source, found)| report::findings(source, found));
            if let Err(Failure(why)) = &line {
                report::failure(why);
            }
            self.told = wrong;
        }
        if let Ok(Some(changes)) = line {
            report::line(&format!("{changes} ({:.2} s)", time.as_secs_f64()));
            if !self.built {
                self.built = true;
                report::line("watching; press Ctrl and C to end");
            }
        }
    }
}

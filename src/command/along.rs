//! Options that lay what is played along a recording.

use super::files::Reader;
use super::outcome::Failure;
use super::reading::Kind;
use super::report::shown;
use clap::ValueHint;
use flamacue::practice::{Plan, clock_seconds, read_taps};
use std::path::PathBuf;

/// Where what is played falls in a recording.
#[derive(Debug, Default, clap::Args)]
#[command(next_help_heading = "Along a recording")]
pub struct Along {
    /// Put the first beat, after what is counted in, at this time: seconds as 12.40, or 0:12.4.
    #[arg(long, value_name = "TIME", value_parser = time, group = "recording")]
    pub at: Option<f64>,

    /// Follow the times of a text file, one a line, that were tapped beat by beat along with a recording.
    ///
    /// A line is the time of the next beat, as 12.40 or 0:12.4, or that of the start of a bar, as `bar 5 0:20`. Bars are
    /// counted in the order of playing. Between two times everything goes evenly, and before and after them on as
    /// fast as next to them.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, group = "recording")]
    pub taps: Option<PathBuf>,

    /// Follow the times that `mark` rows of the text say, as "0:42".
    #[arg(long, group = "recording")]
    pub marks: bool,
}

impl Along {
    /// Whether anything is asked for.
    pub fn is_idle(&self) -> bool {
        self.at.is_none() && self.taps.is_none() && !self.marks
    }

    /// A plan laid along the recording.
    pub fn lay(&self, plan: Plan, reader: &Reader<'_>, name: &str) -> Result<Plan, Failure> {
        let refused = |why: &dyn std::fmt::Display| Failure(format!("{name}: {why}"));
        let along = if let Some(second) = self.at {
            plan.from_second(second)
        } else if let Some(file) = &self.taps {
            let cannot = |why: &dyn std::fmt::Display| Failure(format!("{}: {why}", shown(file)));
            let text = String::from_utf8(reader.named(file, Kind::Taps)?)
                .map_err(|_| cannot(&"it is not text"))?;
            let taps = read_taps(&text).map_err(|why| cannot(&why))?;
            let bend = plan.along_taps(&taps).map_err(|why| cannot(&why))?;
            plan.along(bend)
        } else if self.marks {
            let bend = plan.along_marks().map_err(|why| {
                refused(&format!(
                    "{why}; write times as \"0:42\" in `mark` rows over what is played then"
                ))
            })?;
            plan.along(bend)
        } else {
            return Ok(plan);
        };
        along.map_err(|why| refused(&why))
    }
}

fn time(words: &str) -> Result<f64, String> {
    clock_seconds(words).ok_or_else(|| "write seconds, as 12.40, or minutes, as 0:12.4".into())
}

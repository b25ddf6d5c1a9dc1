//! Building again and again.

use super::inputs::Inputs;
use super::round::Rounds;
use super::wake::{Wake, settle};
use crate::command::args::Build;
use crate::command::outcome::{Failure, Outcome};
use crate::command::plan::Target;
use crate::command::standard::is_standard;
use crate::command::{plan, report};
use std::path::Path;

/// Builds again and again until the run is interrupted.
pub fn run(wanted: &Build) -> Result<Outcome, Failure> {
    let targets = plan::targets(wanted)?;
    if wanted.files.iter().any(|file| is_standard(file))
        || targets.contains(&Target::StandardOutput)
    {
        return Err(Failure::new(
            "only files can be watched: what another program sends comes once",
        ));
    }
    if let Some(missing) = wanted.files.iter().find(|file| !Path::new(file).exists()) {
        return Err(Failure(format!(
            "can't read {}: there is no such file or folder",
            report::shown(missing)
        )));
    }
    let wake = Wake::new();
    let mut rounds = Rounds::new(wanted, &targets);
    let mut inputs = Inputs::default();
    loop {
        inputs.set(rounds.build());
        wake.watch(&inputs.folders());
        loop {
            wake.wait();
            // A file that is being written is empty for a moment.
            if inputs.have_changed() {
                settle();
                if inputs.have_changed() {
                    break;
                }
            }
        }
    }
}

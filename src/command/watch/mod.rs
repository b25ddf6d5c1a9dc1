//! `watch`: what `build` makes is made again whenever a file it is made from is saved.

mod changes;
mod inputs;
mod round;
mod wake;

use super::args::Build;
use super::outcome::{Failure, Outcome};
use super::plan::Target;
use super::standard::is_standard;
use super::{plan, report};
use inputs::Inputs;
use round::Rounds;
use std::path::Path;
use wake::Wake;

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
        // Taken before anything is read, so that what is saved meanwhile is seen as new.
        inputs.look();
        let sought = rounds.build();
        inputs.set(sought);
        wake.watch(&inputs.folders());
        loop {
            wake.wait();
            if inputs.have_changed() {
                break;
            }
        }
    }
}

//! Which command does what the arguments ask for.

use super::args::{Arguments, Command};
use super::outcome::{Failure, Outcome};
use super::{build, check, derivation, fmt, manual, new, report};
use clap::Parser;
use std::process::ExitCode;

/// Runs the command the arguments ask for.
pub fn run() -> ExitCode {
    let done = match Arguments::parse().command {
        Command::Build(wanted) => build::run(&wanted),
        Command::Check(wanted) => check::run(&wanted),
        Command::Explain(wanted) => derivation::explain(&wanted),
        Command::Expand(wanted) => derivation::expand(&wanted),
        Command::Fmt(wanted) => fmt::run(&wanted),
        Command::New(wanted) => new::run(&wanted),
        Command::Completions { shell } => manual::completions(shell),
        Command::Manual { part } => manual::page(part.as_deref()),
    };
    match done {
        Ok(Outcome::Clean) => ExitCode::SUCCESS,
        Ok(Outcome::Faults) => ExitCode::from(1),
        Err(Failure(message)) => {
            report::failure(&message);
            ExitCode::from(2)
        }
    }
}

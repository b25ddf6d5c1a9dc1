//! What each command does.

mod args;
mod build;
mod check;
mod derivation;
mod files;
mod fmt;
mod fonts;
mod new;
mod plan;
mod report;

use args::{Arguments, Command};
use clap::{CommandFactory, Parser};
use std::fmt::Display;
use std::process::ExitCode;

/// How a command that did its work ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// All is well.
    Clean,
    /// The text has faults, which have been shown.
    Faults,
}

/// Why a command could not do its work: wrong usage, or a file that can't be read or written.
#[derive(Debug)]
struct Failure(String);

impl Failure {
    fn new(message: impl Display) -> Self {
        Self(message.to_string())
    }
}

/// Runs the command the arguments ask for.
pub fn run() -> ExitCode {
    let done = match Arguments::parse().command {
        Command::Build(wanted) => build::run(&wanted),
        Command::Check(wanted) => check::run(&wanted),
        Command::Explain(wanted) => derivation::explain(&wanted),
        Command::Expand(wanted) => derivation::expand(&wanted),
        Command::Fmt(wanted) => fmt::run(&wanted),
        Command::New(wanted) => new::run(&wanted),
        Command::Completions { shell } => completions(shell),
        Command::Manual { part } => manual(part.as_deref()),
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

fn completions(shell: clap_complete::Shell) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "flamacue", &mut script);
    files::print(&script)
}

fn manual(part: Option<&str>) -> Result<Outcome, Failure> {
    let mut command = Arguments::command();
    command.build();
    let page = match part {
        None => command,
        Some(part) => command.find_subcommand(part).cloned().ok_or_else(|| {
            let parts: Vec<&str> = command.get_subcommands().map(clap::Command::get_name).collect();
            Failure(format!("no part is called `{part}`; there are {}", parts.join(", ")))
        })?,
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page).render(&mut text).map_err(Failure::new)?;
    files::print(&text)
}

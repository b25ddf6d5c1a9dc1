//! Which command does what the arguments ask for.

use super::args::{Arguments, Command};
use super::outcome::{Failure, Outcome};
use super::{build, check, derivation, desk, film, fmt, huge_pages, lesson, lsp, manual};
use super::{new, report, watch};
use clap::Parser;

/// Runs the command the arguments ask for; the status with which the process is to end.
pub fn run() -> u8 {
    huge_pages::none();
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return refuse(&error),
    };
    if asks_alone(&arguments.command) {
        flamacue::share_this_thread();
    }
    let done = match arguments.command {
        Command::Build(wanted) => build::run(&wanted),
        Command::Lesson(wanted) => lesson::run(&wanted),
        Command::Check(wanted) => check::run(&wanted),
        Command::Explain(wanted) => derivation::explain(&wanted),
        Command::Expand(wanted) => derivation::expand(&wanted),
        Command::Desk(wanted) => desk::run(&wanted),
        Command::Watch(wanted) => watch::run(&wanted.build),
        Command::Lsp(wanted) => lsp::run(&wanted),
        Command::Film(wanted) => film::run(&wanted),
        Command::Fmt(wanted) => fmt::run(&wanted),
        Command::New(wanted) => new::run(&wanted),
        Command::Completions { shell } => manual::completions(shell),
        Command::Manual { part } => manual::page(part.as_deref()),
    };
    match done {
        Ok(Outcome::Clean) => 0,
        Ok(Outcome::Faults) => 1,
        Err(Failure(message)) => {
            report::failure(&message);
            2
        }
    }
}

/// Whether a command asks for all its work by one thread: a server has one for each who asks.
fn asks_alone(command: &Command) -> bool {
    match command {
        Command::Build(_)
        | Command::Lesson(_)
        | Command::Check(_)
        | Command::Explain(_)
        | Command::Expand(_)
        | Command::Watch(_)
        | Command::Film(_)
        | Command::Fmt(_)
        | Command::New(_)
        | Command::Completions { .. }
        | Command::Manual { .. } => true,
        Command::Desk(_) | Command::Lsp(_) => false,
    }
}

/// Tells what is wrong with the arguments, or prints the help they ask for. Arguments are quoted in what is
/// wrong, so it is shown without colours where one of them would disturb the terminal.
fn refuse(error: &clap::Error) -> u8 {
    let told = error.to_string();
    let quoted =
        std::env::args_os().any(|word| word.to_string_lossy().chars().any(char::is_control));
    if error.use_stderr() && quoted {
        report::line(told.trim_end());
        return 2;
    }
    // A terminal that is gone can't be told so.
    let _ = error.print();
    if error.use_stderr() { 2 } else { 0 }
}

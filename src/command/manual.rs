//! `manual` and `completions`: what the command says of itself.

use super::args::Arguments;
use super::outcome::{Failure, Outcome};
use super::standard;
use clap::CommandFactory;

/// Prints the completions of a shell.
pub fn completions(shell: clap_complete::Shell) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "flamacue", &mut script);
    standard::print(&script)
}

/// Prints the manual page of the whole command or of a part.
pub fn page(part: Option<&str>) -> Result<Outcome, Failure> {
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
    standard::print(&text)
}

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
    let name = page.get_display_name().unwrap_or_else(|| page.get_name()).to_owned();
    let mut made = Vec::new();
    clap_mangen::Man::new(page).render(&mut made).map_err(Failure::new)?;
    standard::print(tidied(&name, &String::from_utf8_lossy(&made)).as_bytes())
}

/// A page with a whole title line, and with lines that are set in, as examples are, as they are written.
fn tidied(name: &str, page: &str) -> String {
    let mut tidy = String::with_capacity(page.len());
    // Pages are of no day: the same program makes the same page.
    let title = format!(".TH {name} 1 \"\" \"flamacue {}\"", env!("CARGO_PKG_VERSION"));
    let mut as_written = false;
    for line in page.lines() {
        let line = line.trim_end();
        let set_in = line.starts_with("  ");
        if set_in != as_written {
            tidy.push_str(if set_in { ".nf\n" } else { ".fi\n" });
            as_written = set_in;
        }
        tidy.push_str(if line.starts_with(".TH ") { &title } else { line });
        tidy.push('\n');
    }
    tidy
}

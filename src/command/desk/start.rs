//! From the words of the command to a page in a browser.

use super::address::{address, listen};
use super::folder::Folder;
use super::places::Places;
use super::{known, server};
use crate::command::args::Desk;
use crate::command::outcome::{Failure, Outcome};
use crate::command::report::shown;
use crate::command::{huge_pages, interrupt, report, standard};
use std::path::Path;
use std::time::Duration;

/// The folder that is opened where nothing is said: the one the program is started in.
const HERE: &str = ".";

/// Serves a text, or a folder of texts, until the run is interrupted or left.
pub fn run(wanted: &Desk) -> Result<Outcome, Failure> {
    interrupt::watch();
    let patience = wanted.leave_after.map(|seconds| Duration::from_secs(seconds.into()));
    match (start(wanted, patience), patience) {
        // Started without a terminal: nobody would see why.
        (Err(Failure(why)), Some(patience)) => {
            say_in_browser(&why, wanted.no_browser, patience)?;
            Err(Failure(why))
        }
        (ended, _) => ended,
    }
}

fn start(wanted: &Desk, patience: Option<Duration>) -> Result<Outcome, Failure> {
    let path = wanted.file.as_deref().unwrap_or(Path::new(HERE));
    if let Some(place) = std::fs::canonicalize(path).ok().as_deref().and_then(known::running) {
        let told = format!("{} is on the desk already, at\n\n    {place}\n", shown(path));
        standard::print_text(&told)?;
        show(&place, wanted.no_browser);
        return Ok(Outcome::Clean);
    }
    // Before a port is taken: a file that can't be read is told of first.
    let folder = path.is_dir().then(|| Folder::open(path)).transpose()?;
    let (listener, port) = listen(wanted.port)?;
    let places = Places::at(port);
    let path_of_address = match folder {
        Some(folder) => places.open_folder(folder)?,
        None => places.open_text(path, &wanted.roots, None)?,
    };
    let place = address(port, &path_of_address);
    let told = format!(
        "{} is on the desk at\n\n    {place}\n\nKeep this running while you write. Ctrl+C ends it.\n",
        shown(path)
    );
    standard::print_text(&told)?;
    show(&place, wanted.no_browser);
    server::serve(listener, places, patience)?;
    Ok(Outcome::Clean)
}

/// Says in a page why the desk can't be opened.
fn say_in_browser(why: &str, no_browser: bool, patience: Duration) -> Result<(), Failure> {
    let (listener, port) = listen(None)?;
    let places = Places::at(port);
    let place = address(port, &places.open_trouble(why)?);
    standard::print_text(&format!("Why the desk can't be opened is told at\n\n    {place}\n"))?;
    show(&place, no_browser);
    server::serve(listener, places, Some(patience))
}

fn show(place: &str, no_browser: bool) {
    let open = || huge_pages::for_another(|| open::that_detached(place));
    if !no_browser && open().is_err() {
        report::line("no browser could be opened: open the address in one");
    }
}

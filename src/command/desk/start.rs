//! From the words of the command to a page in a browser.

use super::address::Address;
use super::holder::Holder;
use super::server;
use crate::command::args::Desk;
use crate::command::outcome::{Failure, Outcome};
use crate::command::report::shown;
use crate::command::{interrupt, report, standard};

/// Serves a text until the run is interrupted.
pub fn run(wanted: &Desk) -> Result<Outcome, Failure> {
    interrupt::watch();
    let holder = Holder::open(&wanted.file, &wanted.roots)?;
    let (listener, address) = Address::listen(wanted.port)?;
    let place = address.place();
    let told = format!(
        "{} is on the desk at\n\n    {place}\n\nKeep this running while you write. Ctrl+C ends it.\n",
        shown(&wanted.file)
    );
    standard::print_text(&told)?;
    if !wanted.no_browser && open::that_detached(&place).is_err() {
        report::line("no browser could be opened: open the address in one");
    }
    server::serve(listener, address, holder)?;
    Ok(Outcome::Clean)
}

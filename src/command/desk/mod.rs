//! `desk`: a text beside its pages and its sound, on a page that this program serves to a browser of this
//! machine.

mod address;
mod guard;
mod holder;
mod line_ends;
mod news;
mod opened;
mod outside;
mod server;

use super::args::Desk;
use super::outcome::{Failure, Outcome};
use super::report::shown;
use super::{interrupt, standard};
use address::Address;
use holder::Holder;

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
        super::report::line("no browser could be opened: open the address in one");
    }
    server::serve(listener, address, holder)?;
    Ok(Outcome::Clean)
}

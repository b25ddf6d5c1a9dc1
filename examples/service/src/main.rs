//! Flamacue over HTTP on loopback, for whoever offers it to others: drum-text in; PDF and SVG out.
//!
//! It reads and writes no file and remembers no text, so that any number of it can run side by side. All
//! it does is bounded: the connections, the size of a text, the time to send one, the texts that wait, the
//! workers, what may be made of a text, and the time to make it. `guide/pages.md`, under *A service*, says
//! how it is used.

mod bounds;
mod form;
mod http;
mod make;
mod page_request;
mod server;
mod workers;

use bounds::{Bounds, USAGE};
use std::process::ExitCode;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let bounds = match Bounds::from_words(std::env::args().skip(1)) {
        Ok(bounds) => bounds,
        Err(why) => {
            eprintln!("{why}\n{USAGE}");
            return ExitCode::from(2);
        }
    };
    match server::run(bounds) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

//! `new`: a starter file.

use super::args::New;
use super::outcome::{Failure, Outcome};
use super::report::{plain, shown};
use super::{report, standard, writing};
use std::io::ErrorKind;

/// A handout that builds as it stands and shows the three ways to write a rhythm.
pub const STARTER: &str = include_str!("starter.flam");

pub fn run(wanted: &New) -> Result<Outcome, Failure> {
    let path = &wanted.file;
    if standard::is_standard(path) {
        return standard::print(STARTER.as_bytes());
    }
    let name = shown(path);
    writing::fresh(path, STARTER.as_bytes()).map_err(|e| match e.kind() {
        ErrorKind::AlreadyExists => {
            Failure(format!("{name} is already there and stays as it is; give another name"))
        }
        _ => Failure(format!("can't write {name}: {}", plain(&e))),
    })?;
    report::line(&format!("{name} is ready; make its page with `flamacue build {name}`"));
    Ok(Outcome::Clean)
}

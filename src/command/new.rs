//! `new`: a starter file.

use super::args::New;
use super::outcome::{Failure, Outcome};
use super::{files, report};
use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};

/// A handout that builds as it stands and shows the three ways to write a rhythm.
const STARTER: &str = include_str!("starter.flam");

pub fn run(wanted: &New) -> Result<Outcome, Failure> {
    let path = &wanted.file;
    if files::is_standard(path) {
        return files::print(STARTER.as_bytes());
    }
    let shown = path.display();
    let mut file =
        OpenOptions::new().write(true).create_new(true).open(path).map_err(|e| match e.kind() {
            ErrorKind::AlreadyExists => {
                Failure(format!("{shown} is already there and stays as it is; give another name"))
            }
            _ => Failure(format!("can't write {shown}: {}", files::plain(&e))),
        })?;
    file.write_all(STARTER.as_bytes())
        .map_err(|e| Failure(format!("can't write {shown}: {}", files::plain(&e))))?;
    report::line(&format!("{shown} is ready; make its page with `flamacue build {shown}`"));
    Ok(Outcome::Clean)
}

//! Suites of small cases, each a result of its own that can be run by its name: every file of
//! `tests/suite`, `examples/` and `demo/`, and every sample of the guide and the README.
//!
//!     cargo test --test cases                     all of them
//!     cargo test --test cases score::holds        those whose name holds these words
//!     cargo nextest run --test cases layout::     those of one suite

// Helpers outside of test functions may stop the test too.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod examples;
mod formats;
mod layouts;
mod samples;
mod score_dump;
mod scores;
mod trees;
mod written_out;

#[path = "../built/mod.rs"]
mod built;
#[path = "../engrave/picture.rs"]
mod picture;
#[path = "../score"]
mod score {
    pub mod check;
    pub mod told;
}
#[path = "../syntax"]
mod syntax {
    pub mod dump;
    pub mod formatted;
}

use libtest_mimic::{Arguments, Trial};
use std::path::Path;

/// A case that fails where `run` panics.
fn case(name: String, run: impl FnOnce() + Send + 'static) -> Trial {
    Trial::test(name, move || {
        run();
        Ok(())
    })
}

/// The name of a file without its folder and its ending.
fn stem(path: &Path) -> String {
    path.file_stem().unwrap().to_string_lossy().into_owned()
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Compares a text with the snapshot `snapshots/NAME.snap` in a folder of `tests`.
fn compare_with_snapshot(folder: &str, name: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(built::root().join("tests").join(folder).join("snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(name, text));
}

fn main() {
    let arguments = Arguments::from_args();
    let suites = [
        trees::cases(),
        formats::cases(),
        scores::cases(),
        layouts::cases(),
        examples::cases(),
        written_out::cases(),
        samples::cases(),
    ];
    assert!(suites.iter().all(|suite| !suite.is_empty()), "a suite has no case");
    let cases = suites.into_iter().flatten().collect();
    libtest_mimic::run(&arguments, cases).exit();
}

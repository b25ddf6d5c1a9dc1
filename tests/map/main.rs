//! The house against its map: `src` has no circle of imports, no file imports from a room that stands
//! above its own, the files `mod.rs` are faces, and files and functions stay short.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod circles;
mod imports;
mod parsed;
mod paths;
mod rooms;
mod sizes;

use std::path::Path;

/// The map that DEVELOPERS.md draws.
fn map_of_developers() -> String {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md");
    rooms::block(&std::fs::read_to_string(page).unwrap()).expect("a map")
}

fn complain(faults: &[String]) {
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn the_map_can_be_read() {
    let map = map_of_developers();
    assert!(rooms::read(&map).is_ok_and(|rooms| rooms.len() > 8), "{:?}", rooms::read(&map));
}

#[test]
fn no_room_imports_from_one_above_it() {
    let map = map_of_developers();
    let sources = parsed::sources();
    let rooms = rooms::read(&map).unwrap_or_else(|fault| panic!("{fault}"));
    complain(&rooms::faults(&rooms, &imports::read(&sources)));
}

#[test]
fn no_files_import_each_other_in_a_circle() {
    complain(&circles::faults(&imports::read(&parsed::sources())));
}

#[test]
fn module_files_are_faces() {
    complain(&sizes::faults_of_faces(&parsed::sources()));
}

#[test]
fn files_functions_and_signatures_are_short() {
    complain(&sizes::faults(&parsed::sources(), sizes::EXCEPTIONS));
}

#[test]
fn every_file_is_part_of_the_program() {
    complain(&parsed::undeclared(&parsed::sources()));
    let file = |name: &str, text: &str| parsed::Source::new(name, text);
    let sources = [
        file("lib.rs", "mod a;"),
        file("a/mod.rs", "#[cfg(test)] mod tests; mod inner { }"),
        file("a/tests.rs", ""),
        file("a/inner.rs", ""),
    ];
    assert_eq!(parsed::undeclared(&sources), ["src/a/inner.rs is declared by no file"]);
}

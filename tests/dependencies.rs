//! The table of dependencies in `DEVELOPERS.md` lists what the workspace depends on, and nothing else.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use toml::{Table, Value};

/// The tables of a manifest that name dependencies, and the word for what these serve.
const KINDS: [(&str, &str); 3] =
    [("dependencies", "run"), ("build-dependencies", "build"), ("dev-dependencies", "test")];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn manifest(member: &str) -> Table {
    std::fs::read_to_string(root().join(member).join("Cargo.toml")).unwrap().parse().unwrap()
}

/// What crates of others a manifest names, and what they serve.
fn named(manifest: &Table, names: &mut BTreeMap<String, BTreeSet<&'static str>>) {
    let targets = manifest.get("target").and_then(Value::as_table);
    let targets = targets.into_iter().flat_map(Table::values).filter_map(Value::as_table);
    for table in std::iter::once(manifest).chain(targets) {
        for (kind, serves) in KINDS {
            let Some(named) = table.get(kind).and_then(Value::as_table) else { continue };
            for (name, _) in named.iter().filter(|(_, value)| value.get("path").is_none()) {
                names.entry(name.clone()).or_default().insert(serves);
            }
        }
    }
}

/// The lines of the table: the crate, and what it serves.
fn listed() -> BTreeMap<String, BTreeSet<String>> {
    let text = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let lines = text.lines().skip_while(|line| !line.starts_with("| crate | serves |")).skip(2);
    let cells = |line: &str| -> (String, BTreeSet<String>) {
        let mut cells = line.split('|').map(str::trim).skip(1);
        let name = cells.next().unwrap().trim_matches('`').to_owned();
        let serves = cells.next().unwrap().split(", ").map(str::to_owned).collect();
        (name, serves)
    };
    let rows: Vec<_> = lines.take_while(|line| line.starts_with('|')).map(cells).collect();
    let all: BTreeMap<_, _> = rows.iter().cloned().collect();
    assert_eq!(all.len(), rows.len(), "a crate is listed twice");
    all
}

#[test]
fn the_table_lists_what_is_depended_on() {
    let workspace = manifest("");
    let members = workspace["workspace"]["members"].as_array().unwrap();
    let mut names = BTreeMap::new();
    for member in members {
        named(&manifest(member.as_str().unwrap()), &mut names);
    }
    let names: BTreeMap<String, BTreeSet<String>> = names
        .into_iter()
        .map(|(name, serves)| (name, serves.into_iter().map(str::to_owned).collect()))
        .collect();
    assert!(names.len() > 30, "only {} were found", names.len());
    assert_eq!(listed(), names, "left is DEVELOPERS.md, right what the manifests say");
}

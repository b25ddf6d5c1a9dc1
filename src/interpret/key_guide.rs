//! The table of keys is what the guide says of it.

use super::key_table::{KEYS, KeyDefinition, Reach};

/// The rows of the guide's table of keys: names, values, where they may stand.
fn guide() -> Vec<(Vec<String>, String, String)> {
    let guide = include_str!("../../guide/reference.md");
    let table = guide.split("## Keys").nth(1).expect("the guide has a table of keys");
    let rows = table.lines().filter(|line| line.starts_with("| `"));
    let cells = rows.map(|row| row.trim_matches('|').split(" | ").map(str::trim));
    cells
        .map(|mut row| {
            let mut next = || row.next().unwrap_or("").to_owned();
            let names = next().split('`').skip(1).step_by(2).map(str::to_owned).collect();
            (names, next(), next())
        })
        .collect()
}

#[test]
fn a_header_without_colons_is_told_by_every_key() {
    for name in KEYS.iter().flat_map(|key| key.names) {
        assert!(crate::syntax::is_header_key(name), "{name}");
    }
}

#[test]
fn the_guide_lists_every_key_as_it_is() {
    let rows = guide();
    for KeyDefinition { names, reach, help, .. } in KEYS {
        let row = rows.iter().find(|(own, ..)| names.iter().all(|n| own.iter().any(|o| o == n)));
        let (_, values, place) = row.unwrap_or_else(|| panic!("{names:?} is not in the guide"));
        assert_eq!(values, help, "{names:?}");
        let told = match reach {
            Reach::File => "no",
            Reach::FileOrBlock => "yes, for the block alone",
            Reach::Block => "yes",
            Reach::Player => "yes, and under `player`",
            Reach::Below => "in a block or under `player` only",
            Reach::PlayerOnly => "under `player`",
            Reach::Set => "yes, and after `--`",
        };
        assert_eq!(place, told, "{names:?}");
    }
    let listed: usize = rows.iter().map(|(names, ..)| names.len()).sum();
    let known: usize = KEYS.iter().map(|key| key.names.len()).sum();
    assert_eq!(listed, known, "the guide has a key that there is not");
}

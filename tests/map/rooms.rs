//! The map of the house: which room may import from which.
//!
//! A fenced block marked `rooms` has a line for each room: its name, and after `->` the rooms it may
//! import from. A room is a folder of `src` (`engrave/measure`) or a file without its ending (`lib`).
//! Lines stand in the order of the house, and a room may only list rooms above its own line. A file
//! belongs to the room with the longest name that fits; a listed room stands for those inside it too.

use crate::imports::Imports;

#[derive(Debug)]
pub struct Room {
    pub name: String,
    pub imports: Vec<String>,
}

/// The text of the block marked `rooms` on a page.
pub fn block(page: &str) -> Option<String> {
    let mut lines = page.lines().skip_while(|line| line.trim() != "```rooms").skip(1).peekable();
    lines.peek()?;
    Some(lines.take_while(|line| line.trim() != "```").collect::<Vec<_>>().join("\n"))
}

/// Reads the lines of a map.
pub fn read(map: &str) -> Result<Vec<Room>, String> {
    let mut rooms: Vec<Room> = Vec::new();
    for line in map.lines().filter(|line| !line.trim().is_empty()) {
        let (name, imports) = line.split_once("->").unwrap_or((line, ""));
        let name = name.trim().to_owned();
        if name.is_empty() || name.contains(char::is_whitespace) {
            return Err(format!("the map has no single room before `->` in `{line}`"));
        }
        if rooms.iter().any(|room| room.name == name) {
            return Err(format!("the map has `{name}` twice"));
        }
        let imports: Vec<String> = imports.split_whitespace().map(str::to_owned).collect();
        let above = |wanted: &&String| !rooms.iter().any(|room| room.name == **wanted);
        if let Some(wanted) = imports.iter().find(above) {
            return Err(format!("`{name}` lists `{wanted}`, which no line above it is for"));
        }
        rooms.push(Room { name, imports });
    }
    Ok(rooms)
}

/// Whether a room or a file stands in a room or is it.
fn is_in(name: &str, room: &str) -> bool {
    name.strip_prefix(room).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

fn room_of<'a>(rooms: &'a [Room], file: &str) -> Option<&'a Room> {
    let name = file.trim_end_matches(".rs").trim_end_matches("/mod");
    let around = rooms.iter().filter(|room| is_in(name, &room.name));
    around.max_by_key(|room| room.name.len())
}

/// Imports the map does not allow, files in no room, and rooms without files.
pub fn faults(rooms: &[Room], imports: &Imports) -> Vec<String> {
    let homeless = imports.files.iter().filter(|file| room_of(rooms, file).is_none());
    let mut faults: Vec<String> =
        homeless.map(|file| format!("src/{file} stands in no room of the map")).collect();
    let lived_in = |room: &Room| {
        let mut homes = imports.files.iter().filter_map(|file| room_of(rooms, file));
        homes.any(|home| is_in(&home.name, &room.name))
    };
    let empty = rooms.iter().filter(|room| !lived_in(room));
    faults.extend(empty.map(|room| format!("the room `{}` has no file", room.name)));
    for import in &imports.imports {
        let room = |file: usize| room_of(rooms, &imports.files[file]);
        let (Some(from), Some(to)) = (room(import.from), room(import.to)) else { continue };
        // A room may hand on what a room above it defines; the way there is an import too.
        let way = import.path.strip_prefix("crate::").and_then(|path| path.split("::").next());
        for to in [Some(to.name.as_str()), way.filter(|way| rooms.iter().any(|r| r.name == *way))] {
            let Some(to) = to else { continue };
            let allowed = from.imports.iter().any(|listed| is_in(to, listed));
            if from.name != to && !allowed {
                let said = imports.say(import);
                faults.push(format!("{said}: `{}` may not import from `{to}`", from.name));
                break;
            }
        }
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::imports;
    use crate::parsed::Source;

    fn told(map: &str, files: &[(&str, &str)]) -> Vec<String> {
        let sources: Vec<_> = files.iter().map(|(name, text)| Source::new(name, text)).collect();
        faults(&read(map).expect("a map"), &imports::read(&sources))
    }

    #[test]
    fn the_block_is_found_on_its_page() {
        let page = "# Rooms\n\n```\na\n```\n\n```rooms\nlow\nhigh -> low\n```\n\nlow\n";
        assert_eq!(block(page).as_deref(), Some("low\nhigh -> low"));
        assert_eq!(block("```\nlow\n```\n"), None);
    }

    #[test]
    fn a_room_lists_only_rooms_above_it() {
        let fault = |map: &str| read(map).err().unwrap_or_default();
        assert_eq!(fault("low\n\nhigh  ->  low\n"), "");
        assert_eq!(
            fault("low -> high\nhigh\n"),
            "`low` lists `high`, which no line above it is for"
        );
        assert_eq!(fault("low -> low\n"), "`low` lists `low`, which no line above it is for");
        assert_eq!(fault("low\nlow\n"), "the map has `low` twice");
        assert_eq!(fault("low high\n"), "the map has no single room before `->` in `low high`");
    }

    const FILES: [(&str, &str); 4] = [
        ("lib.rs", "pub mod low;\npub mod high;"),
        ("low/mod.rs", "mod deep;\npub struct Low;"),
        ("low/deep.rs", "\nuse crate::high::High;"),
        ("high.rs", "use crate::low::Low;\npub struct High;"),
    ];

    #[test]
    fn an_import_up_the_house_is_told() {
        assert_eq!(
            told("low\nhigh -> low\nlib\n", &FILES),
            ["src/low/deep.rs:2 imports `crate::high::High` of src/high.rs: \
              `low` may not import from `high`"]
        );
    }

    #[test]
    fn what_a_room_hands_on_is_imported_from_it() {
        let files = [
            ("lib.rs", "mod low;\nmod high;"),
            ("low/mod.rs", "pub mod own; pub mod other;"),
            ("low/own.rs", "pub struct A;"),
            ("low/other.rs", "use crate::high::A;"),
            ("high.rs", "pub use crate::low::own::A;"),
        ];
        let found = told("low\nhigh -> low\nlib\n", &files);
        assert!(
            found.len() == 1 && found[0].ends_with("`low` may not import from `high`"),
            "{found:?}"
        );
    }

    #[test]
    fn the_longest_name_wins() {
        // What lists `low` may import from the rooms inside it too.
        assert_eq!(
            told("low\nhigh -> low\nlow/deep -> high\nlib\n", &FILES),
            <[&str; 0]>::default()
        );
        let files = [
            ("lib.rs", "mod low;\nmod high;"),
            ("low/mod.rs", "pub mod deep;"),
            ("low/deep.rs", "pub struct Deep;"),
            ("high.rs", "use crate::low::deep::Deep;"),
        ];
        assert_eq!(told("low/deep\nlow\nhigh -> low\nlib\n", &files), <[&str; 0]>::default());
        let found = told("low/deep\nlow\nhigh\nlib\n", &files);
        assert!(found[0].ends_with("`high` may not import from `low/deep`"), "{found:?}");
    }

    #[test]
    fn files_without_a_room_and_rooms_without_files_are_told() {
        assert_eq!(
            told("low\nhigh -> low\nlow/deep -> high\nattic\n", &FILES),
            ["src/lib.rs stands in no room of the map", "the room `attic` has no file"]
        );
    }
}

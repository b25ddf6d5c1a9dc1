//! What may go wrong round a text that an editor has open.

use crate::lsp::{Editor, uri};
use crate::room::Room;
use serde_json::{Value, json};
use std::fs;

const BOOK: &str = "include in/one.flam\n\nSee @gate.\n";
const CHAPTER: &str = "fill gate\n  play  s s s s\n";

/// A folder with a book of one chapter.
fn book(name: &str) -> (Room, String) {
    let room = Room::new(name);
    fs::create_dir(room.path("in")).expect("a folder");
    room.put("book.flam", BOOK);
    room.put("in/one.flam", CHAPTER);
    let book = uri(&room, "book.flam");
    (room, book)
}

/// Tells an editor's program that a file of the folder is another, or gone.
fn changed(editor: &mut Editor, room: &Room, name: &str, kind: u32) {
    let change = json!({ "uri": uri(room, name), "type": kind });
    editor.tell("workspace/didChangeWatchedFiles", json!({ "changes": [change] }));
}

fn saved(editor: &mut Editor, uri: &str) {
    editor.tell("textDocument/didSave", json!({ "textDocument": { "uri": uri } }));
}

/// Puts a text in the place of all of it.
fn replaced(editor: &mut Editor, uri: &str, version: u32, text: &str) {
    let document = json!({ "uri": uri, "version": version });
    let params = json!({ "textDocument": document, "contentChanges": [{ "text": text }] });
    editor.tell("textDocument/didChange", params);
}

fn messages(faults: &[Value]) -> Vec<&str> {
    faults.iter().filter_map(|fault| fault["message"].as_str()?.lines().next()).collect()
}

#[test]
fn a_text_that_is_deleted_stays_what_the_editor_has() {
    let (room, book) = book("lsp-deleted");
    let mut editor = Editor::open(&room, json!({}));
    editor.did_open(&book, BOOK);
    assert_eq!(editor.faults(&book), Vec::<Value>::new());
    fs::remove_file(room.path("book.flam")).expect("removed");
    changed(&mut editor, &room, "book.flam", 3);
    assert_eq!(editor.faults(&book), Vec::<Value>::new());
    replaced(&mut editor, &book, 2, "include in/one.flam\n\nSee @gaate.\n");
    assert_eq!(editor.faults(&book).len(), 1);
    replaced(&mut editor, &book, 3, BOOK);
    // A chapter that goes is missed, and is there again when another is put in its place.
    fs::remove_file(room.path("in/one.flam")).expect("removed");
    changed(&mut editor, &room, "in/one.flam", 3);
    let faults = editor.faults(&book);
    assert!(messages(&faults)[0].contains("in/one.flam"), "{faults:?}");
    room.put("in/new", CHAPTER);
    fs::rename(room.path("in/new"), room.path("in/one.flam")).expect("renamed");
    changed(&mut editor, &room, "in/one.flam", 1);
    assert_eq!(editor.faults(&book), Vec::<Value>::new());
    fs::remove_dir_all(room.path("in")).expect("removed");
    saved(&mut editor, &book);
    assert_eq!(editor.faults(&book).len(), faults.len());
    assert_eq!(editor.end(), Some(0));
    assert!(room.names().is_empty(), "nothing is written");
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_read_is_told() {
    let (room, book) = book("lsp-folder");
    let Some(command) = room.bound_command() else { return };
    let mut editor = Editor::open_with(command, json!({}));
    editor.did_open(&book, BOOK);
    assert_eq!(editor.faults(&book), Vec::<Value>::new());
    room.set_mode("in", 0o000);
    saved(&mut editor, &book);
    let faults = editor.faults(&book);
    room.set_mode("in", 0o755);
    assert!(messages(&faults)[0].contains("not allowed"), "{faults:?}");
    saved(&mut editor, &book);
    assert_eq!(editor.faults(&book), Vec::<Value>::new());
    assert_eq!(editor.end(), Some(0));
}

#[test]
fn a_text_that_is_far_too_long_is_told_and_ends_nothing() {
    let (room, book) = book("lsp-long");
    let mut editor = Editor::open(&room, json!({}));
    let block = "fill\n  play s s s s\n\n";
    editor.did_open(&book, &block.repeat((10 << 20) / block.len()));
    let faults = editor.faults(&book);
    assert_eq!(messages(&faults), ["this file is larger than 4 megabytes and was not read"]);
    let place = json!({ "line": 400_000, "character": 7 });
    for method in ["hover", "completion", "documentSymbol", "semanticTokens/full", "inlayHint"] {
        let params = json!({
            "textDocument": { "uri": book }, "position": place, "range": { "start": place, "end": place },
        });
        let answer = editor.ask(&format!("textDocument/{method}"), params);
        assert!(answer["error"].is_null(), "{answer}");
    }
    replaced(&mut editor, &book, 2, BOOK);
    assert_eq!(editor.faults(&book), Vec::<Value>::new());
    room.put("in/one.flam", block.repeat((10 << 20) / block.len()));
    saved(&mut editor, &book);
    let chapter = uri(&room, "in/one.flam");
    let found = [editor.faults(&book), editor.faults(&chapter)].concat();
    assert!(messages(&found).iter().any(|one| one.contains("larger than")), "{found:?}");
    assert_eq!(editor.end(), Some(0));
}

#[test]
fn two_editors_of_one_text_are_told_the_same() {
    let (room, book) = book("lsp-two");
    let mut editors = [Editor::open(&room, json!({})), Editor::open(&room, json!({}))];
    let text = BOOK.replace("@gate", "@gaate");
    editors.iter_mut().for_each(|editor| editor.did_open(&book, &text));
    let [one, two] = &mut editors;
    assert_eq!(one.faults(&book), two.faults(&book));
    // What one of them has changed and not saved is nothing to the other.
    replaced(one, &book, 2, BOOK);
    assert_eq!((one.faults(&book).len(), two.faults(&book).len()), (0, 1));
    editors.into_iter().for_each(|editor| assert_eq!(editor.end(), Some(0)));
}

#[test]
fn two_saves_tell_nothing_twice() {
    let (room, book) = book("lsp-quick");
    let mut editor = Editor::open(&room, json!({}));
    editor.did_open(&book, &BOOK.replace("@gate", "@gaate"));
    assert_eq!(editor.faults(&book).len(), 1);
    let told = editor.told.len();
    (0..2).for_each(|_| saved(&mut editor, &book));
    assert_eq!(editor.faults(&book).len(), 1);
    assert_eq!(editor.told.len(), told);
    assert_eq!(editor.end(), Some(0));
    assert_eq!(room.get("book.flam"), BOOK.as_bytes());
}

#[test]
fn the_end_of_a_text_without_a_last_line_end_is_a_place() {
    let room = Room::new("lsp-endless");
    let book = uri(&room, "a.flam");
    let mut editor = Editor::open(&room, json!({}));
    editor.did_open(&book, "fill gate\n  play  s s s s\n\nSee 🥁 @gaate");
    let faults = editor.faults(&book);
    let end = json!({ "line": 3, "character": 13 });
    assert_eq!(faults[0]["range"]["end"], end, "{faults:?}");
    // Typed at the very end, and past it.
    for (version, place, text) in
        [(2, end, "."), (3, json!({ "line": 9, "character": 9 }), "\r\n\r\nMore")]
    {
        let change = json!({ "range": { "start": place, "end": place }, "text": text });
        let document = json!({ "uri": book, "version": version });
        let params = json!({ "textDocument": document, "contentChanges": [change] });
        editor.tell("textDocument/didChange", params);
        assert_eq!(editor.faults(&book), faults);
    }
    let offered = editor.ask(
        "textDocument/completion",
        json!({ "textDocument": { "uri": book }, "position": { "line": 5, "character": 4 } }),
    );
    assert!(offered["error"].is_null(), "{offered}");
    replaced(&mut editor, &book, 4, "");
    assert_eq!(editor.faults(&book), Vec::<Value>::new(), "an empty text is a text");
    assert_eq!(editor.end(), Some(0));
}

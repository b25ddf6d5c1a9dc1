//! What an editor and the program say to each other.

use crate::room::Room;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

/// An editor.
pub struct Editor {
    pub child: Child,
    say: Option<ChildStdin>,
    hear: BufReader<ChildStdout>,
    next: i64,
    /// What it was told unasked, by address.
    pub told: Vec<(String, Value)>,
}

impl Editor {
    fn start(room: &Room) -> Self {
        Self::run(room.command())
    }

    fn run(mut command: Command) -> Self {
        command.arg("lsp").stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().expect("the command");
        let say = child.stdin.take();
        let hear = BufReader::new(child.stdout.take().expect("what it says"));
        Self { child, say, hear, next: 1, told: Vec::new() }
    }

    pub fn open(room: &Room, capabilities: Value) -> Self {
        Self::open_with(room.command(), capabilities)
    }

    pub fn open_with(command: Command, capabilities: Value) -> Self {
        let mut editor = Self::run(command);
        let about = editor.ask("initialize", json!({ "capabilities": capabilities }));
        assert_eq!(about["result"]["serverInfo"]["name"], "flamacue");
        editor.tell("initialized", json!({}));
        editor
    }

    fn write(&mut self, message: &Value) {
        let body = message.to_string();
        let say = self.say.as_mut().expect("an open pipe");
        write!(say, "Content-Length: {}\r\n\r\n{body}", body.len()).expect("a message");
        say.flush().expect("a message");
    }

    pub fn tell(&mut self, method: &str, params: Value) {
        self.write(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    pub fn ask(&mut self, method: &str, params: Value) -> Value {
        let id = self.next;
        self.next += 1;
        self.write(&json!({ "jsonrpc": "2.0", "id": id, "method": method, "params": params }));
        loop {
            let message = self.read();
            if message["method"] == "textDocument/publishDiagnostics" {
                let params = &message["params"];
                let uri = params["uri"].as_str().expect("an address").to_owned();
                self.told.push((uri, params["diagnostics"].clone()));
            } else if message["id"] == id {
                return message;
            }
        }
    }

    fn read(&mut self) -> Value {
        let mut length = 0;
        loop {
            let mut line = String::new();
            self.hear.read_line(&mut line).expect("a line");
            match line.trim() {
                "" => break,
                line => {
                    let number = line.strip_prefix("Content-Length: ");
                    length = number.and_then(|n| n.parse().ok()).unwrap_or(length);
                }
            }
        }
        let mut body = vec![0; length];
        self.hear.read_exact(&mut body).expect("a message");
        serde_json::from_slice(&body).expect("JSON")
    }

    pub fn did_open(&mut self, uri: &str, text: &str) {
        let document = json!({ "uri": uri, "languageId": "flam", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    /// What it was told last of a file.
    pub fn faults(&mut self, uri: &str) -> Vec<Value> {
        let params = json!({ "textDocument": { "uri": uri } });
        self.ask("textDocument/foldingRange", params);
        let last = self.told.iter().rev().find(|(told, _)| told == uri);
        last.and_then(|(_, faults)| faults.as_array().cloned()).unwrap_or_default()
    }

    /// Says good-bye; the status it ends with.
    pub fn end(mut self) -> Option<i32> {
        self.ask("shutdown", Value::Null);
        self.tell("exit", Value::Null);
        self.child.wait().expect("an end").code()
    }
}

pub fn uri(room: &Room, name: &str) -> String {
    format!("file://{}", room.path(name).display())
}

#[test]
fn a_fault_is_told_while_typing_and_mended() {
    let room = Room::new("lsp-faults");
    let mut editor = Editor::open(&room, json!({}));
    let uri = uri(&room, "a.flam");
    editor.did_open(&uri, "fill\n  play  s s s s\n  \u{1F941}stik R L R L\n");
    // In columns of UTF-16 the drum takes two.
    let start = json!({ "line": 2, "character": 2 });
    let end = json!({ "line": 2, "character": 4 });
    let change = json!({ "range": { "start": start, "end": end }, "text": "" });
    let document = json!({ "uri": uri, "version": 2 });
    let params = json!({ "textDocument": document, "contentChanges": [change] });
    editor.tell("textDocument/didChange", params);
    let faults = editor.faults(&uri);
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0]["code"], "instrument-unknown");
    assert_eq!(faults[0]["range"]["end"], json!({ "line": 2, "character": 6 }));
    let params = json!({
        "textDocument": { "uri": uri }, "range": faults[0]["range"], "context": { "diagnostics": [] },
    });
    let mends = editor.ask("textDocument/codeAction", params);
    let mend = &mends["result"][0];
    assert_eq!(mend["title"], "did you mean `stick`?");
    assert_eq!(mend["edit"]["changes"][&uri][0]["newText"], "stick");
    assert_eq!(editor.end(), Some(0));
    assert!(room.names().is_empty(), "nothing is written");
}

#[test]
fn a_chapter_is_part_of_the_book_that_is_open() {
    let room = Room::new("lsp-chapters");
    room.put("one.flam", "fill gate\n  play  s s s s\n");
    let mut editor = Editor::open(&room, json!({}));
    let (book, one) = (uri(&room, "book.flam"), uri(&room, "one.flam"));
    // Alone, a chapter does not know the blocks of others.
    editor.did_open(&one, "fill gate\n  play  s s s s\n\nSee @wall.\n");
    assert_eq!(editor.faults(&one).len(), 1);
    editor.did_open(&book, "include one.flam\n\nfill wall\n  play  s s s s\n\nSee @gate.\n");
    assert_eq!(editor.faults(&book), Vec::<Value>::new());
    assert_eq!(editor.faults(&one), Vec::<Value>::new());
    let position = json!({ "line": 5, "character": 6 });
    let params = json!({ "textDocument": { "uri": book }, "position": position });
    let found = editor.ask("textDocument/definition", params.clone());
    assert_eq!(found["result"]["uri"], one);
    let rename =
        json!({ "textDocument": { "uri": book }, "position": position, "newName": "wall" });
    let refused = editor.ask("textDocument/rename", rename);
    assert_eq!(refused["error"]["message"], "another block is named `wall` already");
    editor.tell("textDocument/didClose", json!({ "textDocument": { "uri": book } }));
    assert_eq!(editor.faults(&one).len(), 1);
    assert_eq!(editor.end(), Some(0));
}

#[test]
fn files_out_of_reach_are_not_read() {
    let room = Room::new("lsp-reach");
    std::fs::create_dir(room.path("in")).expect("a folder");
    room.put("secret.flam", "fill gate\n  play  s s s s\n");
    let mut editor = Editor::open(&room, json!({}));
    let uri = uri(&room, "in/a.flam");
    editor.did_open(&uri, "include ../secret.flam\n\nWords.\n");
    let faults = editor.faults(&uri);
    assert!(faults[0]["message"].as_str().is_some_and(|m| m.contains("--root")), "{faults:?}");
    editor.did_open("untitled:one", "include secret.flam\n\nWords.\n");
    let faults = editor.faults("untitled:one");
    assert!(faults[0]["message"].as_str().is_some_and(|m| m.contains("never saved")), "{faults:?}");
    assert_eq!(editor.end(), Some(0));
}

#[test]
fn messages_that_make_no_sense_are_answered_or_passed_over() {
    let room = Room::new("lsp-nonsense");
    let mut editor = Editor::open(&room, json!({ "general": { "positionEncodings": ["utf-8"] } }));
    let uri = uri(&room, "a.flam");
    editor.did_open(&uri, "fill\n  play  s s s s\n");
    for (method, params, code) in [
        ("textDocument/nothing", json!({}), -32601),
        ("textDocument/hover", json!(7), -32602),
        (
            "textDocument/hover",
            json!({ "textDocument": { "uri": "file:///none" }, "position": { "line": 0, "character": 0 } }),
            -32602,
        ),
    ] {
        assert_eq!(editor.ask(method, params)["error"]["code"], code, "{method}");
    }
    editor.tell("textDocument/didChange", json!({ "nonsense": true }));
    editor.tell("$/setTrace", json!({ "value": "off" }));
    let far = json!({ "line": 4_000_000_000_u32, "character": 4_000_000_000_u32 });
    for method in ["hover", "completion", "definition", "references", "prepareRename"] {
        let params = json!({
            "textDocument": { "uri": uri }, "position": far, "context": { "includeDeclaration": true },
        });
        assert!(
            editor.ask(&format!("textDocument/{method}"), params)["id"].is_number(),
            "{method}"
        );
    }
    let change =
        json!({ "range": { "start": far, "end": { "line": 0, "character": 0 } }, "text": "x" });
    let params =
        json!({ "textDocument": { "uri": uri, "version": 2 }, "contentChanges": [change] });
    editor.tell("textDocument/didChange", params);
    editor.faults(&uri);
    assert_eq!(editor.end(), Some(0));
}

#[test]
fn an_editor_that_goes_without_a_word_ends_it() {
    let room = Room::new("lsp-gone");
    let mut editor = Editor::open(&room, json!({}));
    drop(editor.say.take());
    assert_eq!(editor.child.wait().expect("an end").code(), Some(1));
    let mut editor = Editor::start(&room);
    drop(editor.say.take());
    assert_eq!(editor.child.wait().expect("an end").code(), Some(0));
    let mut said = String::new();
    editor.child.stderr.take().expect("a pipe").read_to_string(&mut said).expect("text");
    assert_eq!(said, "");
}

/// What is asked of a text with tabs, drums of two units and combining accents, in columns of one kind.
fn asked_in(encoding: &str, drum: u64) {
    let room = Room::new(&format!("lsp-columns-{encoding}"));
    let mut editor = Editor::open(&room, json!({ "general": { "positionEncodings": [encoding] } }));
    let uri = uri(&room, "a.flam");
    let text =
        "title: 🥁\n\nfill gate \"🥁 e\u{301}\"\n\tplay\tS.ss\ts s s  // 🥁\n\nSee 🥁 @gate.\n";
    editor.did_open(&uri, text);
    let name = 6 + drum;
    let at = |line: u64, character: u64| json!({ "line": line, "character": character });
    let whole = json!({ "start": at(0, 0), "end": at(6, 0) });
    let mut ask = |method: &str, more: Value| {
        let mut params = json!({ "textDocument": { "uri": uri }, "position": at(5, name) });
        for (key, value) in more.as_object().expect("an object") {
            params[key] = value.clone();
        }
        editor.ask(&format!("textDocument/{method}"), params)["result"].clone()
    };
    let range = |line, from, to| json!({ "start": at(line, from), "end": at(line, to) });
    let used = range(5, name, name + 4);
    let hover = ask("hover", json!({}));
    assert_eq!(hover["contents"]["value"], "fill 1 “🥁 e\u{301}”, one bar");
    assert_eq!(hover["range"], used);
    let hover = ask("hover", json!({ "position": at(3, 6) }));
    assert_eq!(hover["contents"]["value"], "snare, accented, beat 1");
    assert_eq!(hover["range"], range(3, 6, 7));
    assert_eq!(ask("definition", json!({}))["range"], range(2, 5, 9));
    let places = ask("references", json!({ "context": { "includeDeclaration": true } }));
    assert_eq!((&places[0]["range"], &places[1]["range"]), (&range(2, 5, 9), &used));
    assert_eq!(ask("prepareRename", json!({})), used);
    let renamed = ask("rename", json!({ "newName": "door" }));
    assert_eq!(renamed["changes"][&uri][1], json!({ "range": used, "newText": "door" }));
    let offered = ask("completion", json!({}));
    assert_eq!(offered[0]["label"], "gate");
    assert_eq!(offered[0]["textEdit"]["range"], range(5, name, name));
    let symbols = ask("documentSymbol", json!({}));
    assert_eq!(symbols[0]["name"], "fill 1: 🥁 e\u{301}");
    let folds = ask("foldingRange", json!({}));
    assert_eq!((&folds[0]["startLine"], &folds[0]["endLine"]), (&json!(2), &json!(3)));
    let counts = ask("inlayHint", json!({ "range": whole }));
    assert_eq!(counts[0]["label"], "1 & a 2 3 4");
    assert_eq!(counts[0]["position"], at(3, 21 + drum));
    let lines = ask("formatting", json!({ "options": { "tabSize": 2, "insertSpaces": true } }));
    let lines = lines.as_array().expect("changes");
    assert!(!lines.is_empty() && lines.iter().all(|one| one["range"]["start"]["line"] == 3));
    let tokens = ask("semanticTokens/full", json!({}));
    let data: Vec<u64> =
        tokens["data"].as_array().expect("numbers").iter().filter_map(Value::as_u64).collect();
    let last = data.rchunks(5).next().expect("a token");
    // From the comment two lines above to the name with its sign.
    assert_eq!(last[..3], [2, name - 1, 5]);
    assert_eq!(editor.end(), Some(0));
}

#[test]
fn places_are_told_in_the_columns_the_editor_counts() {
    asked_in("utf-16", 2);
    asked_in("utf-8", 4);
}

#[test]
fn words_and_signs_end_with_the_lines_of_the_editor() {
    let room = Room::new("lsp-lines");
    let mut editor = Editor::open(&room, json!({}));
    let uri = uri(&room, "a.flam");
    // A carriage return alone ends a line for editors, and none for the program.
    editor.did_open(&uri, "// one\rtwo\n");
    let params = json!({ "textDocument": { "uri": uri } });
    let tokens = editor.ask("textDocument/semanticTokens/full", params);
    let data = tokens["result"]["data"].as_array().expect("numbers");
    let places: Vec<&[Value]> = data.chunks(5).map(|token| &token[..3]).collect();
    assert_eq!(places, [[json!(0), json!(0), json!(6)], [json!(1), json!(0), json!(3)]]);
    assert_eq!(editor.end(), Some(0));
}

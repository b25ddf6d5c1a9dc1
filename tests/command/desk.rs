//! The desk: what it opens, who finds it, and when it ends.

use crate::room::Room;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// How long anything may take: a debug build on a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(60);

/// A run of `desk`, and the address it told.
struct Desk {
    child: Child,
    address: String,
}

/// An address in parts: the port and the path.
fn parts(address: &str) -> (u16, String) {
    let rest = address.strip_prefix("http://127.0.0.1:").expect("an address of this machine");
    let (port, path) = rest.split_once('/').expect("a path");
    (port.parse().expect("a port"), format!("/{path}"))
}

impl Desk {
    fn start(room: &Room, arguments: &[&str]) -> Self {
        let mut child = command(room, arguments).spawn().expect("the command");
        let address = told(child.stdout.take().expect("what it tells"));
        Self { child, address }
    }

    /// The status and the body of an answer; a body makes it a POST.
    fn ask(&self, name: &str, body: Option<&str>) -> (u16, String) {
        ask(&format!("{}{name}", self.address), body)
    }

    /// Whether it ends in time, and how.
    fn ends(&mut self) -> Option<bool> {
        let start = Instant::now();
        while start.elapsed() < PATIENCE {
            if let Some(status) = self.child.try_wait().expect("a status") {
                return Some(status.success());
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        None
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn command(room: &Room, arguments: &[&str]) -> Command {
    let mut command = room.command();
    command
        .arg("desk")
        .args(arguments)
        .arg("--no-browser")
        .env("XDG_RUNTIME_DIR", room.path("run"));
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// The address that is told.
fn told(out: impl Read) -> String {
    let lines = BufReader::new(out).lines().map_while(Result::ok);
    let mut addresses = lines.map(|line| line.trim().to_owned());
    addresses.find(|line| line.starts_with("http://")).expect("an address")
}

fn ask(address: &str, body: Option<&str>) -> (u16, String) {
    let (port, path) = parts(address);
    let mut stream = TcpStream::connect(("127.0.0.1", port)).expect("the desk");
    stream.set_read_timeout(Some(PATIENCE)).expect("a patience");
    let head = format!("{path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n");
    let request = match body {
        None => format!("GET {head}\r\n"),
        Some(body) => format!(
            "POST {head}Content-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        ),
    };
    stream.write_all(request.as_bytes()).expect("it listens");
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer).expect("an answer");
    let answer = String::from_utf8(answer).expect("text");
    let (head, body) = answer.split_once("\r\n\r\n").expect("a body");
    let status = head.split(' ').nth(1).and_then(|status| status.parse().ok());
    (status.expect("a status"), body.to_owned())
}

fn json(text: &str) -> serde_json::Value {
    serde_json::from_str(text).expect("JSON")
}

#[test]
fn without_a_file_the_texts_of_the_folder_are_there() {
    let room = Room::new("desk-folder");
    fs::create_dir_all(room.path("lessons")).expect("a folder");
    room.put("lessons/first.flam", "title: First steps\n\nfill gate\n  play s s s s\n");
    room.put("notes.txt", "mine");
    let desk = Desk::start(&room, &[]);
    assert!(desk.ask("", None).1.contains("folder.js"));
    let listed = json(&desk.ask("list", None).1);
    assert_eq!(listed["folder"], "desk-folder");
    assert_eq!(listed["texts"].as_array().map(Vec::len), Some(1));
    let text = &listed["texts"][0];
    assert_eq!(
        (&text["name"], &text["title"]),
        (&"lessons/first.flam".into(), &"First steps".into())
    );

    let open = |name: &str, what: &str| {
        let body = serde_json::json!({ "name": name }).to_string();
        json(&desk.ask(what, Some(&body)).1)
    };
    let (port, own) = parts(&desk.address);
    let opened = open("lessons/first.flam", "open");
    let address = opened["address"].as_str().expect("an address");
    let at = format!("http://127.0.0.1:{port}{address}");
    assert!(
        json(&ask(&format!("{at}ask"), Some(r#"{"ask":"open"}"#)).1)["text"]
            .as_str()
            .is_some_and(|text| text.starts_with("title: First steps"))
    );
    assert_eq!(json(&ask(&format!("{at}folder"), None).1), own.as_str());
    // The same text is on the desk once; the other questions are not asked of a folder, nor those of a folder here.
    let again = open("lessons/first.flam", "open");
    assert!(again["address"].as_str().is_some_and(|again| at.ends_with(again) || again == at));
    assert_eq!(desk.ask("ask", Some(r#"{"ask":"open"}"#)).0, 404);
    assert_eq!(ask(&format!("{at}list"), None).0, 404);

    // A new one has the starter's text, and takes no place of another.
    let begun = open("Monday", "begin");
    assert!(begun["address"].is_string(), "{begun}");
    assert!(room.get("Monday.flam").starts_with(b"title:"));
    assert!(open("Monday", "begin")["why"].is_string());
    for name in ["../notes", "/etc/hostname", "notes.txt", "lessons/../notes.txt"] {
        assert!(open(name, "open")["why"].is_string(), "{name} is opened");
    }
    assert!(open("../up", "begin")["why"].is_string());
}

#[test]
fn a_second_start_opens_the_desk_that_runs() {
    let room = Room::new("desk-twice");
    room.put("a.flam", "fill gate\n  play s s s s\n");
    let desk = Desk::start(&room, &["a.flam"]);
    let second = command(&room, &["./a.flam"]).output().expect("it ends");
    assert!(second.status.success());
    assert_eq!(told(second.stdout.as_slice()), desk.address);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let files: Vec<_> = fs::read_dir(room.path("run/flamacue")).expect("a folder").collect();
        assert_eq!(files.len(), 1);
        let file = files[0].as_ref().expect("a file").path();
        assert_eq!(fs::metadata(file).expect("a file").permissions().mode() & 0o777, 0o600);
    }
    // One that does not answer any more is not asked to show it.
    drop(desk);
    let third = Desk::start(&room, &["a.flam"]);
    assert_eq!(third.ask("path", None).0, 200);
    // Nor one whose port another program has: another desk, with another text.
    let known = fs::read_dir(room.path("run/flamacue")).expect("a folder").next();
    let known = known.expect("a file").expect("a file").path();
    let text = fs::read_to_string(&known).expect("a file");
    room.put("b.flam", "fill wall\n  play t t t t\n");
    let other = Desk::start(&room, &["b.flam"]);
    let (port, path) = parts(&other.address);
    fs::write(&known, format!("{port} {}\n", path.trim_matches('/'))).expect("a file");
    assert!(text != fs::read_to_string(&known).expect("a file"));
    let fourth = Desk::start(&room, &["a.flam"]);
    assert!(fourth.address != other.address && fourth.address != third.address);
}

#[test]
fn a_desk_that_nobody_looks_at_ends_by_itself_and_never_with_a_text_that_is_not_saved() {
    let room = Room::new("desk-left");
    room.put("a.flam", "fill gate\n  play s s s s\n");
    let mut desk = Desk::start(&room, &["a.flam", "--leave-after", "1"]);
    assert_eq!(desk.ends(), Some(true));
    assert_eq!(fs::read_dir(room.path("run/flamacue")).expect("a folder").count(), 0);

    let mut desk = Desk::start(&room, &["a.flam", "--leave-after", "1"]);
    let edit =
        r#"{"ask":"edit","edits":[{"from":0,"to":0,"text":"// mine\n"}],"length":33,"near":[]}"#;
    let (status, answer) = desk.ask("ask", Some(edit));
    assert!(status == 200 && answer.contains("\"current\":true"), "{answer}");
    std::thread::sleep(Duration::from_millis(2500));
    assert_eq!(desk.child.try_wait().expect("a status"), None);
    // A page that is open again finds the text as it was left.
    assert!(desk.ask("ask", Some(r#"{"ask":"open"}"#)).1.contains("// mine"));
    assert!(desk.ask("save", Some(r#"{"over":false}"#)).1.contains("\"saved\":true"));
    assert_eq!(desk.ends(), Some(true));
    assert!(room.get("a.flam").starts_with(b"// mine"));
}

#[test]
fn where_there_is_no_terminal_a_fault_is_told_in_a_page() {
    let room = Room::new("desk-trouble");
    let mut desk = Desk::start(&room, &["<b>none</b>.flam", "--leave-after", "1"]);
    let (status, page) = desk.ask("", None);
    assert_eq!(status, 200);
    assert!(
        page.contains("can't read ") && page.contains("/&lt;b&gt;none&lt;/b&gt;.flam"),
        "{page}"
    );
    assert_eq!(desk.ask("desk.css", None).0, 200);
    assert_eq!(desk.ask("ask", Some(r#"{"ask":"open"}"#)).0, 404);
    assert_eq!(desk.ends(), Some(false));
}

//! Pages that are made again at each save.

use crate::room::Room;
use std::fs;
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

/// How long a line is waited for: a debug build on a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(60);
/// How long nothing is said where nothing is to be said.
pub const SILENCE: Duration = Duration::from_millis(2500);

pub const TWO: &str =
    "page: a6\n\nfill gate\n  play s s s s\n\nfill wall\n  starts: new-page\n  play t t t t\n";

/// A run of `watch`, and the lines it says.
pub struct Watch {
    pub child: Child,
    pub said: Receiver<String>,
}

impl Watch {
    pub fn start(room: &Room, arguments: &[&str]) -> Self {
        Self::run(room.command(), arguments)
    }

    pub fn run(mut command: Command, arguments: &[&str]) -> Self {
        command.arg("watch").args(arguments).stdin(Stdio::null()).stdout(Stdio::null());
        let mut child = command.stderr(Stdio::piped()).spawn().expect("the command");
        let lines = BufReader::new(child.stderr.take().expect("what it says")).lines();
        let (say, said) = channel();
        thread::spawn(move || {
            for line in lines.map_while(Result::ok) {
                if say.send(line).is_err() {
                    return;
                }
            }
        });
        Self { child, said }
    }

    /// The next line.
    pub fn line(&self) -> String {
        self.said.recv_timeout(PATIENCE).expect("a line")
    }

    /// The next line that holds some words; what stands before it is passed over.
    pub fn until(&self, words: &str) -> String {
        loop {
            let line = self.line();
            if line.contains(words) {
                return line;
            }
        }
    }

    pub fn is_silent(&self) {
        assert_eq!(self.said.recv_timeout(SILENCE), Err(RecvTimeoutError::Timeout));
    }

    pub fn interrupt(&mut self) {
        let id = self.child.id().to_string();
        let sent = Command::new("kill").args(["-s", "INT", &id]).status().expect("kill");
        assert!(sent.success());
        self.child.wait().expect("an end");
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn each_save_tells_which_pages_changed() {
    let room = Room::new("watch-pages");
    room.put("a.flam", TWO);
    let mut watch = Watch::start(&room, &["a.flam"]);
    assert!(watch.line().starts_with("a.pdf: written, 2 pages ("));
    assert_eq!(watch.line(), "watching; press Ctrl and C to end");
    let first = room.get("a.pdf");
    room.put("a.flam", TWO.replace("t t t t", "t t f f"));
    assert!(watch.line().starts_with("a.pdf: page 2 changed ("));
    assert_ne!(room.get("a.pdf"), first);
    // What says the same is not told of, nor what only looks the same in the text.
    room.put("a.flam", TWO.replace("t t t t", "t t f f"));
    watch.is_silent();
    room.put("a.flam", TWO.replace("t t t t", "t t f f  // floor"));
    assert!(watch.line().starts_with("every page looks as it did ("));
    watch.interrupt();
    assert_eq!(room.names(), ["a.flam", "a.pdf"]);
}

#[test]
fn a_fault_is_told_once_and_the_last_pages_stay() {
    let room = Room::new("watch-faults");
    room.put("a.flam", TWO);
    let watch = Watch::start(&room, &["a.flam"]);
    watch.until("watching");
    let first = room.get("a.pdf");
    room.put("a.flam", TWO.replace("s s s s", "s s s s s"));
    assert!(watch.line().starts_with("error: "));
    watch.until("take it out");
    assert_eq!(watch.line(), "");
    room.put("a.flam", format!("{}\nMore words.\n", TWO.replace("s s s s", "s s s s s")));
    watch.is_silent();
    assert_eq!(room.get("a.pdf"), first);
    room.put("a.flam", TWO);
    assert!(watch.until("(").starts_with("every page looks as it did ("));
}

#[test]
fn what_a_text_includes_is_watched_too() {
    let room = Room::new("watch-included");
    fs::create_dir(room.path("in")).expect("a folder");
    room.put("a.flam", "include in/one.flam\n\n![](in/dot.svg \"A dot\")\n");
    room.put("in/one.flam", "fill gate\n  play s s s s\n");
    let dot = |r: u32| {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><circle r='{r}'/></svg>"
        )
    };
    room.put("in/dot.svg", dot(2));
    fs::copy("styles/handout.toml", room.path("mine.toml")).expect("a style");
    let watch = Watch::start(&room, &["a.flam", "-o", "a.html", "--style", "mine.toml"]);
    watch.until("watching");
    room.put("in/one.flam", "fill gate\n  play s s s f\n");
    assert!(watch.line().starts_with("a.html: changed ("));
    room.put("in/dot.svg", dot(4));
    assert!(watch.line().starts_with("a.html: changed ("));
    room.put("mine.toml", "nonsense");
    assert!(watch.line().contains("mine.toml"));
}

#[test]
fn files_that_go_and_come_end_nothing() {
    let room = Room::new("watch-gone");
    fs::create_dir(room.path("in")).expect("a folder");
    room.put("in/a.flam", TWO);
    let mut watch = Watch::start(&room, &["in/a.flam", "-o", "a.pdf"]);
    watch.until("watching");
    // As some editors save: another file takes its place.
    room.put("in/b.flam", TWO.replace("t t t t", "t t f f"));
    fs::rename(room.path("in/b.flam"), room.path("in/a.flam")).expect("renamed");
    assert!(watch.line().starts_with("a.pdf: page 2 changed ("));
    fs::remove_file(room.path("in/a.flam")).expect("removed");
    assert!(watch.line().contains("can't read in/a.flam"));
    fs::remove_dir_all(room.path("in")).expect("removed");
    fs::create_dir(room.path("in")).expect("a folder");
    room.put("in/a.flam", TWO);
    assert!(watch.until("a.pdf").starts_with("a.pdf: page 2 changed ("));
    // A burst of saves is told of as one, or as few.
    for count in 0..40 {
        room.put(
            "in/a.flam",
            TWO.replace("t t t t", if count % 2 == 0 { "f f f f" } else { "m m m m" }),
        );
    }
    let mut told = 1;
    watch.until("a.pdf");
    while watch.said.recv_timeout(SILENCE).is_ok() {
        told += 1;
    }
    assert!(told <= 5, "{told} lines");
    watch.interrupt();
    assert!(room.names().iter().all(|name| !name.contains("tmp")), "{:?}", room.names());
}

#[test]
fn what_cannot_be_watched_is_refused() {
    let room = Room::new("watch-refused");
    assert_eq!(room.run_with(&["watch", "-"], b"").status, 2);
    let ended = room.run(&["watch", "none.flam"]);
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("there is no such file"), "{}", ended.err);
}

//! The service from another process, on loopback: honest texts come back as the library makes them, to the
//! byte; hostile ones are answered in time; and nothing piles up meanwhile.
//!
//! The load takes some seconds; `FLAMACUE_SERVICE_SECONDS=600` asks for more, which is worth it with
//! `cargo test --profile service -p flamacue-service`. It is told on standard error what it measured
//! (`-- --nocapture`).

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod client;
mod expected;
mod load;
mod process;
mod texts;

use client::{Connection, Reply};
use process::Process;
use std::time::{Duration, Instant};

/// How much later than its own bounds the service may be on a busy machine.
const SLACK: Duration = Duration::from_secs(5);

const GROOVE: &str = "groove \"Plain\"\n  play  kh.h sh.h kh.k sh.h\n";

fn is_busy(reply: &Reply) -> bool {
    reply.status == 503 && reply.header("retry-after") == Some("1")
}

#[test]
fn a_text_comes_back_as_its_pages() {
    let process = Process::start(&[]);
    let mut connection = Connection::open(process.port);
    for (accept, media, start) in [
        (None, "application/pdf", "%PDF-"),
        (Some("image/svg+xml"), "image/svg+xml", "<svg "),
        (Some("text/plain"), "text/plain; charset=utf-8", ""),
    ] {
        let reply = connection.post("/", accept, GROOVE.as_bytes()).unwrap();
        assert_eq!((reply.status, reply.header("content-type")), (200, Some(media)));
        assert_eq!(reply.header("pages"), Some("1"));
        assert!(reply.body.starts_with(start.as_bytes()));
    }
    let ready = connection.request("GET", "/ready", &[], b"").unwrap();
    assert_eq!((ready.status, ready.body.as_slice()), (200, "ready\n".as_bytes()));
}

#[test]
fn what_can_not_be_had_is_told() {
    let process = Process::start(&[]);
    let faulty = "groove\n  play  kkk? s\n";
    let included = "include other.flam\n";
    let shown = "![A pad](/etc/hostname)\n";
    let faces = "text-font: /etc/hostname\n";
    for (path, accept, text, status, says) in [
        ("/", None, faulty, 422, "text.flam:2:"),
        ("/", None, included, 422, "can't read other.flam: there is no such file or folder"),
        ("/", None, shown, 422, "can't be read here"),
        ("/", None, faces, 422, "font files can't be read here"),
        ("/?page=2", Some("image/svg+xml"), GROOVE, 404, "the text makes 1 pages"),
        ("/?page=0", None, GROOVE, 400, "a number from 1"),
        ("/", Some("text/html"), GROOVE, 406, "image/svg+xml"),
        ("/elsewhere", None, GROOVE, 404, "POST a text to /"),
        ("/ready", None, GROOVE, 405, "GET"),
    ] {
        let reply = Connection::open(process.port).post(path, accept, text.as_bytes()).unwrap();
        let said = String::from_utf8(reply.body.clone()).unwrap();
        assert_eq!(reply.status, status, "{path} {text}: {said}");
        assert!(said.contains(says), "{path} {text}: {said}");
    }
    let got = Connection::open(process.port).request("GET", "/", &[], b"").unwrap();
    assert_eq!((got.status, got.header("allow")), (405, Some("POST")));
}

#[test]
fn a_text_that_is_too_long_is_not_waited_for() {
    let process = Process::start(&[]);
    let announced = b"POST / HTTP/1.1\r\nHost: a\r\nContent-Length: 99999999999\r\n\r\n";
    assert_eq!(Connection::open(process.port).raw(announced).unwrap().status, 413);
    let long = vec![b'a'; 300_000];
    assert_eq!(Connection::open(process.port).post("/", None, &long).unwrap().status, 413);
    // In pieces, without a word of how many: those that end, and those that do not.
    let head = b"POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\n\r\n";
    let piece = [b"4000\r\n", vec![b'a'; 0x4000].as_slice(), b"\r\n"].concat();
    let ends = [head.as_slice(), &piece.repeat(20), b"0\r\n\r\n"].concat();
    assert_eq!(Connection::open(process.port).raw(&ends).unwrap().status, 413);
    let mut connection = Connection::open(process.port);
    connection.write(head).unwrap();
    let refused = (0..10_000).any(|_| connection.write(&piece).is_err());
    assert!(refused, "{} bytes were taken", 10_000 * 0x4000);
}

#[test]
fn whoever_sends_slowly_or_by_halves_keeps_nothing() {
    let process = Process::start(&["--send-seconds", "1", "--workers", "1"]);
    let start = Instant::now();
    let half_head = b"POST / HTTP/1.1\r\nHost: a\r\nContent-Le".as_slice();
    let half_text = b"POST / HTTP/1.1\r\nHost: a\r\nContent-Length: 50\r\n\r\ngroove".as_slice();
    let mut slow: Vec<Connection> = [half_head, half_text, b""]
        .iter()
        .flat_map(|part| std::iter::repeat_n(part, 20))
        .map(|part| {
            let mut connection = Connection::open(process.port);
            connection.write(part).unwrap();
            connection
        })
        .collect();
    // All of them wait, and keep nobody from being answered.
    let reply = Connection::open(process.port).post("/", None, GROOVE.as_bytes()).unwrap();
    assert_eq!(reply.status, 200);
    for (number, connection) in slow.iter_mut().enumerate() {
        let ended = connection.read();
        match number / 20 {
            1 => assert_eq!(ended.unwrap().status, 408),
            _ => assert!(ended.is_err(), "an answer to no request: {ended:?}"),
        }
    }
    assert!(start.elapsed() < Duration::from_secs(1) + SLACK, "{:?}", start.elapsed());
    // Whoever leaves in the midst of a text.
    for _ in 0..50 {
        Connection::open(process.port).write(half_text).unwrap();
    }
    for nonsense in [b"\x16\x03\x01\x02\x00\x01\x00".as_slice(), b"no request\r\n\r\n", &[0; 100]] {
        let reply = Connection::open(process.port).raw(nonsense);
        assert!(reply.is_err() || reply.is_ok_and(|reply| reply.status == 400));
    }
    let head = format!("GET /ready HTTP/1.1\r\nHost: a\r\nLong: {}\r\n\r\n", "a".repeat(100_000));
    let reply = Connection::open(process.port).raw(head.as_bytes());
    assert!(reply.is_err() || reply.is_ok_and(|reply| reply.status == 431));
    let reply = Connection::open(process.port).post("/", None, GROOVE.as_bytes()).unwrap();
    assert_eq!(reply.status, 200);
}

#[test]
fn work_that_takes_too_long_ends_and_frees_its_worker() {
    let process = Process::start(&["--workers", "1", "--waiting", "0", "--work-seconds", "0.05"]);
    let book = texts::long_book();
    let start = Instant::now();
    let reply = Connection::open(process.port).post("/", None, book.as_bytes()).unwrap();
    assert!(is_busy(&reply), "{}", reply.status);
    assert!(start.elapsed() < SLACK, "{:?}", start.elapsed());
    let freed = until_ready(&process);
    eprintln!("a worker was free {freed:?} after its text was given up");
    assert!(freed < SLACK, "{freed:?}");
}

#[test]
fn a_text_that_nobody_waits_for_is_given_up() {
    let process = Process::start(&["--workers", "1", "--waiting", "0", "--work-seconds", "120"]);
    let book = texts::long_book();
    let mut connection = Connection::open(process.port);
    connection.write(&client::post("/", None, book.as_bytes())).unwrap();
    let start = Instant::now();
    while is_ready(&process) && start.elapsed() < SLACK {
        std::thread::sleep(Duration::from_millis(1));
    }
    assert!(!is_ready(&process), "the text was never begun");
    drop(connection);
    assert!(until_ready(&process) < SLACK);
}

fn is_ready(process: &Process) -> bool {
    let ready = Connection::open(process.port).request("GET", "/ready", &[], b"").unwrap();
    assert!(ready.status == 200 || is_busy(&ready), "{}", ready.status);
    ready.status == 200
}

/// How long it takes until a further text finds a place.
fn until_ready(process: &Process) -> Duration {
    let start = Instant::now();
    while !is_ready(process) && start.elapsed() < 4 * SLACK {
        std::thread::sleep(Duration::from_millis(10));
    }
    start.elapsed()
}

#[test]
fn more_texts_than_may_wait_are_sent_away_at_once() {
    let process = Process::start(&["--workers", "1", "--waiting", "1", "--work-seconds", "60"]);
    let text = texts::book(40);
    let post = || Connection::open(process.port).post("/", None, text.as_bytes()).unwrap();
    let replies: Vec<Reply> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..12).map(|_| scope.spawn(post)).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    let good = replies.iter().filter(|reply| reply.status == 200).count();
    let busy = replies.iter().filter(|reply| is_busy(reply)).count();
    assert_eq!(good + busy, replies.len());
    assert!(good >= 2 && busy >= 1, "{good} answered, {busy} sent away");
}

#[test]
fn what_is_in_hand_is_answered_before_the_end() {
    let mut process = Process::start(&["--workers", "1", "--work-seconds", "60"]);
    let text = texts::book(40);
    let mut connection = Connection::open(process.port);
    let mut idle = Connection::open(process.port);
    assert_eq!(idle.request("GET", "/ready", &[], b"").unwrap().status, 200);
    connection.write(&client::post("/", None, text.as_bytes())).unwrap();
    // It is worked on.
    std::thread::sleep(Duration::from_millis(200));
    process.ask_to_end();
    assert_eq!(connection.read().unwrap().status, 200);
    assert!(process.ended_well(SLACK), "it did not end");
}

#[test]
fn under_load_every_answer_is_the_librarys_and_memory_is_flat() {
    load::run();
}

//! Many texts at once for some time, honest and hostile.

use crate::client::Connection;
use crate::expected::{Expected, made_of};
use crate::process::Process;
use crate::texts;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, OnceLock};
use std::time::{Duration, Instant};

/// Seconds of load, where no others are asked for.
const SECONDS: u64 = 8;
/// Those who send honest texts; a further one sends hostile ones, and one sends slowly.
const HONEST: u64 = 4;
/// The most texts of one sender.
const MOST: u64 = 2_000_000;
/// Of so many honest texts one is of words that no other has.
const FRESH: u64 = 8;
/// The longest a text may take. An unoptimised service beside other tests is slow.
const WORK_SECONDS: u64 = if cfg!(debug_assertions) { 30 } else { 5 };
/// How much later than that an answer may arrive.
const SLACK: Duration = Duration::from_secs(5);
/// Megabytes that the service may have in use: two workers each with as long a text as may be, and faces.
const MOST_RESIDENT: f64 = 1024.0;
/// How many times the most that it has in use before and in the first half of the load it may have in the second, and
/// megabytes more for a single large text that comes beside others.
const GROWTH: f64 = 1.25;
const ONE_TEXT: f64 = 128.0;

/// An honest text, and what is made of it once that was asked.
struct Honest {
    text: Vec<u8>,
    expected: OnceLock<Expected>,
}

struct Load<'a> {
    process: &'a Process,
    end: Instant,
    honest: Vec<Honest>,
    fresh: AtomicU64,
    /// Of each honest answer the seconds it took.
    times: Mutex<Vec<f64>>,
    hostile: AtomicU64,
}

pub fn run() {
    let seconds = std::env::var("FLAMACUE_SERVICE_SECONDS").map_or(SECONDS, |n| n.parse().unwrap());
    let process =
        Process::start(&["--work-seconds", &WORK_SECONDS.to_string(), "--send-seconds", "2"]);
    let alone = most_of_one(&process);
    let start = Instant::now();
    let honest = texts::honest().into_iter();
    let load = Load {
        process: &process,
        end: start + Duration::from_secs(seconds),
        honest: honest.map(|text| Honest { text, expected: OnceLock::new() }).collect(),
        fresh: AtomicU64::new(0),
        times: Mutex::default(),
        hostile: AtomicU64::new(0),
    };
    let resident = std::thread::scope(|scope| {
        (0..HONEST).for_each(|nth| {
            drop(scope.spawn({
                let load = &load;
                move || load.send_honest(nth)
            }))
        });
        scope.spawn(|| load.send_hostile());
        scope.spawn(|| load.send_slowly());
        load.watch(start, seconds)
    });
    let times = load.times.into_inner().unwrap();
    let hostile = load.hostile.into_inner();
    tell(times, hostile, start.elapsed().as_secs_f64());
    let [first, second] = resident;
    eprintln!(
        "in use at most: {alone:.0} MB for one text, {first:.0} MB in the first half, {second:.0} MB in the second"
    );
    // Which texts come late is up to chance, what they take is not.
    let first = first.max(alone);
    assert!(second <= first * GROWTH + ONE_TEXT, "{first} MB became {second} MB");
    assert!(first.max(second) <= MOST_RESIDENT, "{second} MB");
}

/// The most memory that any of the hostile texts takes alone, in megabytes.
fn most_of_one(process: &Process) -> f64 {
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        let watch = scope.spawn(|| {
            let mut most = 0.0_f64;
            while !done.load(Ordering::Relaxed) {
                std::thread::sleep(Duration::from_millis(20));
                most = most.max(process.resident());
            }
            most
        });
        let post = |text: Vec<u8>| Connection::open(process.port).post("/", None, &text);
        let replies: Vec<_> = texts::hostile().into_iter().map(post).collect();
        done.store(true, Ordering::Relaxed);
        // No sooner: whoever watches would go on for ever.
        assert!(replies.iter().all(Result::is_ok));
        watch.join().unwrap()
    })
}

fn tell(mut times: Vec<f64>, hostile: u64, seconds: f64) {
    assert!(!times.is_empty());
    times.sort_by(f64::total_cmp);
    let at = |part: usize| 1e3 * times[(times.len() * part / 1000).min(times.len() - 1)];
    eprintln!(
        "{} honest answers in {seconds:.0} s, {:.0} a second; p50 {:.1} ms, p99 {:.1} ms, longest {:.0} ms; {hostile} hostile ones",
        times.len(),
        times.len() as f64 / seconds,
        at(500),
        at(990),
        at(1000),
    );
}

impl Load<'_> {
    fn goes_on(&self) -> bool {
        Instant::now() < self.end
    }

    /// The most memory in use in the first half and in the second, in megabytes.
    fn watch(&self, start: Instant, seconds: u64) -> [f64; 2] {
        let half = start + Duration::from_secs(seconds) / 2;
        let mut minutes = [1, 5, 10].iter().peekable();
        let mut most = [0.0_f64; 2];
        while self.goes_on() {
            std::thread::sleep(Duration::from_millis(50));
            let now = self.process.resident();
            let of = &mut most[usize::from(Instant::now() >= half)];
            *of = of.max(now);
            if let Some(minute) = minutes.next_if(|n| start.elapsed().as_secs() >= **n * 60 - 1) {
                eprintln!("in use after {minute} minutes: {now:.0} MB");
            }
        }
        most
    }

    fn send_honest(&self, nth: u64) {
        let mut connection = Connection::open(self.process.port);
        for number in (nth..).step_by(HONEST as usize).take(MOST as usize) {
            if !self.goes_on() {
                break;
            }
            if number % FRESH == 0 {
                let text = texts::fresh(self.fresh.fetch_add(1, Ordering::Relaxed));
                let expected = Expected::of(&text);
                self.exchange(&mut connection, &text, &expected, number);
            } else {
                let honest = &self.honest[(number as usize * 7) % self.honest.len()];
                let expected = honest.expected.get_or_init(|| Expected::of(&honest.text));
                self.exchange(&mut connection, &honest.text, expected, number);
            }
        }
    }

    /// Sends a text and compares what is answered.
    fn exchange(&self, connection: &mut Connection, text: &[u8], expected: &Expected, number: u64) {
        let svg = number % 2 == 1;
        let pages = match expected {
            Expected::Pages { svg, .. } => svg.len(),
            Expected::Faults(_) => 1,
        };
        let page = number as usize % pages + 1;
        let (path, accept) = if svg {
            (format!("/?page={page}"), "image/svg+xml")
        } else {
            ("/".to_owned(), "application/pdf")
        };
        let start = Instant::now();
        // A connection has its end in good order, after a minute.
        let reply = connection.post(&path, Some(accept), text).or_else(|_| {
            *connection = Connection::open(self.process.port);
            connection.post(&path, Some(accept), text)
        });
        let reply = reply.unwrap();
        self.times.lock().unwrap().push(start.elapsed().as_secs_f64());
        let what = String::from_utf8_lossy(text);
        let (status, body) = match expected {
            Expected::Pages { svg: pages, .. } if svg => (200, pages[page - 1].as_bytes()),
            Expected::Pages { pdf, .. } => (200, pdf.as_slice()),
            Expected::Faults(report) => (422, report.as_bytes()),
        };
        assert_eq!(reply.status, status, "{}\n{what}", String::from_utf8_lossy(&reply.body));
        assert!(reply.body == body, "another answer than the library's to\n{what}");
        let made_of = made_of(text);
        assert!(reply.header("made-of").is_some_and(|of| of.starts_with(&made_of)), "{what}");
    }

    fn send_hostile(&self) {
        let texts = texts::hostile();
        for text in texts.iter().cycle().take(MOST as usize) {
            if !self.goes_on() {
                break;
            }
            let start = Instant::now();
            let reply = Connection::open(self.process.port).post("/", None, text).unwrap();
            let took = start.elapsed();
            let what = String::from_utf8_lossy(&text[..text.len().min(200)]).into_owned();
            assert!([200, 413, 422, 503].contains(&reply.status), "{} to {what}", reply.status);
            assert!(took < Duration::from_secs(WORK_SECONDS) + SLACK, "{took:?} for {what}");
            self.hostile.fetch_add(1, Ordering::Relaxed);
            if took > Duration::from_secs(1) {
                eprintln!(
                    "{took:?}, {} for {}",
                    reply.status,
                    what.trim().chars().take(40).collect::<String>()
                );
            }
        }
    }

    /// Keeps some connections that send a byte now and then.
    fn send_slowly(&self) {
        for _ in 0..MOST {
            if !self.goes_on() {
                break;
            }
            let mut slow: Vec<_> = (0..16).map(|_| Connection::open(self.process.port)).collect();
            for byte in b"POST / HTTP/1.1\r\nHost: a\r\n".chunks(2) {
                for connection in &mut slow {
                    // It may have been ended already.
                    let _ = connection.write(byte);
                }
                std::thread::sleep(Duration::from_millis(250));
                if !self.goes_on() {
                    break;
                }
            }
        }
    }
}

//! What bounds the service, and how it is told on the command line.

use std::num::NonZero;
use std::time::Duration;

/// How the service is started.
pub const USAGE: &str = "flamacue-service [--port 8337] [--workers N] [--waiting N] [--work-seconds 5] [--send-seconds 10]";

/// Bytes of a text: a book of some hundred pages has as many. Common practice, no source.
pub const TEXT_BYTES: usize = 256 * 1024;
/// Connections at once; others wait until one ends. Common practice, no source.
pub const CONNECTIONS: u32 = 128;
/// Bytes of the head of a request (hyper takes no fewer than 8,192). Common practice, no source.
pub const HEAD_BYTES: usize = 16 * 1024;
/// How long a connection is kept for further requests. Common practice, no source.
pub const CONNECTION_LIFE: Duration = Duration::from_secs(60);
/// How long is waited for a connection to take its last answer. Common practice, no source.
pub const LAST_ANSWER: Duration = Duration::from_secs(5);
/// Seconds after which whoever found no room may ask again. Common practice, no source.
pub const RETRY_AFTER: &str = "1";

const PORT: u16 = 8337;
/// Texts that wait for each worker. Common practice, no source.
const WAITING_FOR_EACH: usize = 4;
const WORK_SECONDS: f64 = 5.0;
const SEND_SECONDS: f64 = 10.0;

/// What can be said on the command line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// On 127.0.0.1; zero is any that is free.
    pub port: u16,
    /// Texts that are worked on at once.
    pub workers: usize,
    /// Texts that wait for a worker.
    pub waiting: usize,
    /// The longest from a text's arrival to its answer.
    pub work: Duration,
    /// The longest a head may take to arrive, and then a text.
    pub send: Duration,
}

impl Bounds {
    /// Those of the words of a command line, which come in pairs.
    ///
    /// # Errors
    /// Says which word is none, or has no value.
    pub fn from_words(words: impl Iterator<Item = String>) -> Result<Self, String> {
        let workers = std::thread::available_parallelism().map_or(1, NonZero::get);
        let (mut port, mut own_workers, mut waiting) = (PORT, None, None);
        let (mut work, mut send) = (WORK_SECONDS, SEND_SECONDS);
        let mut words = words;
        while let Some(word) = words.next() {
            let value = words.next().ok_or_else(|| format!("{word} has no value"))?;
            match word.as_str() {
                "--port" => port = number(&word, &value)?,
                "--workers" => own_workers = Some(number(&word, &value)?),
                "--waiting" => waiting = Some(number(&word, &value)?),
                "--work-seconds" => work = number(&word, &value)?,
                "--send-seconds" => send = number(&word, &value)?,
                _ => return Err(format!("there is no {word}")),
            }
        }
        let workers = own_workers.map_or(workers, NonZero::get);
        let waiting = waiting.unwrap_or(workers.saturating_mul(WAITING_FOR_EACH));
        let (work, send) = (seconds(work)?, seconds(send)?);
        Ok(Self { port, workers, waiting, work, send })
    }
}

fn number<N: std::str::FromStr>(word: &str, value: &str) -> Result<N, String> {
    value.parse().map_err(|_| format!("{word} can't be {value}"))
}

fn seconds(seconds: f64) -> Result<Duration, String> {
    Duration::try_from_secs_f64(seconds)
        .ok()
        .filter(|time| !time.is_zero())
        .ok_or_else(|| format!("{seconds} seconds are no time"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bounds(words: &str) -> Result<Bounds, String> {
        Bounds::from_words(words.split_whitespace().map(str::to_owned))
    }

    #[test]
    fn words_set_bounds() {
        let set = bounds("--port 0 --workers 3 --waiting 0 --work-seconds 0.5").unwrap();
        assert_eq!((set.port, set.workers, set.waiting), (0, 3, 0));
        assert_eq!(set.work, Duration::from_millis(500));
        assert_eq!(bounds("--workers 3").unwrap().waiting, 12);
    }

    #[test]
    fn words_that_are_none_are_refused() {
        for words in [
            "--port",
            "--port x",
            "--workers 0",
            "--host a",
            "--work-seconds -1",
            "--work-seconds 0",
        ] {
            assert!(bounds(words).is_err(), "{words}");
        }
    }
}

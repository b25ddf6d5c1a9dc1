//! Whether anybody is at the desk: a page that is open always waits for news.

use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// Longer than a busy machine keeps anything waiting.
const ASLEEP: Duration = Duration::from_secs(4);

/// Who is at the desk.
#[derive(Debug)]
pub struct Presence(Mutex<Seen>);

#[derive(Debug)]
struct Seen {
    /// Requests that are being answered.
    asking: usize,
    /// When the last was answered.
    last: Instant,
}

/// Somebody who asks, until it is dropped.
pub struct Asking<'a>(&'a Presence);

impl Default for Presence {
    fn default() -> Self {
        Self(Mutex::new(Seen { asking: 0, last: Instant::now() }))
    }
}

impl Presence {
    fn lock(&self) -> MutexGuard<'_, Seen> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Somebody begins to ask.
    pub fn ask(&self) -> Asking<'_> {
        self.lock().asking += 1;
        Asking(self)
    }

    /// Begins anew to count how long nobody has been there.
    pub fn begin_anew(&self) {
        self.lock().last = Instant::now();
    }

    /// How long nobody has been there; nothing while somebody is.
    pub fn away(&self) -> Option<Duration> {
        let seen = self.lock();
        (seen.asking == 0).then(|| seen.last.elapsed())
    }
}

impl Drop for Asking<'_> {
    fn drop(&mut self) {
        let mut seen = self.0.lock();
        seen.asking = seen.asking.saturating_sub(1);
        seen.last = Instant::now();
    }
}

/// Whether the machine slept, or the program was stopped, where so long passed from one look to the next that comes
/// a moment later: nobody could ask meanwhile.
pub fn slept(passed: Duration) -> bool {
    passed >= ASLEEP
}

/// Whether a desk ends by itself: after so long that nobody was there, and where all is saved. What is not saved
/// stays, and is there when the text is opened again.
pub fn is_over(
    away: Option<Duration>,
    patience: Duration,
    is_saved: impl FnOnce() -> bool,
) -> bool {
    away.is_some_and(|away| away >= patience) && is_saved()
}

#[cfg(test)]
mod tests {
    use super::*;

    const MINUTE: Duration = Duration::from_secs(60);

    #[test]
    fn a_desk_ends_when_nobody_is_there_and_all_is_saved() {
        assert!(is_over(Some(2 * MINUTE), 2 * MINUTE, || true));
        assert!(!is_over(Some(MINUTE), 2 * MINUTE, || true));
        assert!(!is_over(Some(60 * MINUTE), 2 * MINUTE, || false));
        assert!(!is_over(None, Duration::ZERO, || true));
    }

    #[test]
    fn while_the_machine_sleeps_nobody_is_away() {
        assert!(slept(60 * MINUTE) && slept(ASLEEP));
        assert!(!slept(Duration::from_millis(900)));
        let presence = Presence::default();
        std::thread::sleep(Duration::from_millis(30));
        assert!(presence.away().is_some_and(|away| away >= Duration::from_millis(30)));
        presence.begin_anew();
        assert!(presence.away().is_some_and(|away| away < Duration::from_millis(30)));
    }

    #[test]
    fn somebody_is_there_who_asks() {
        let presence = Presence::default();
        assert!(presence.away().is_some());
        let (one, other) = (presence.ask(), presence.ask());
        drop(one);
        assert_eq!(presence.away(), None);
        drop(other);
        assert!(presence.away().is_some_and(|away| away < MINUTE));
    }
}

//! A fixed number of workers, and a bounded number of texts that wait for them.

use crate::bounds::Bounds;
use crate::make::{Made, Wanted, make};
use flamacue::font::Fonts;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::{OwnedSemaphorePermit, Semaphore, oneshot};

/// A worker's stack: what is nested in a text stands a few deep, and a debug build takes much for each.
/// Common practice, no source.
const STACK: usize = 16 << 20;

struct Job {
    wanted: Wanted,
    /// After it nobody waits for what is made.
    until: Instant,
    answer: oneshot::Sender<Made>,
    /// Its place among those that wait and are worked on, until it is done with.
    _place: OwnedSemaphorePermit,
}

/// Why a text has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unanswered {
    /// As many texts wait as may.
    Full,
    /// It took too long.
    Late,
    /// A worker broke down over it.
    Broken,
}

/// Hands texts to the workers, which end when it is dropped.
pub struct Workers {
    places: Arc<Semaphore>,
    jobs: Sender<Job>,
    longest: Duration,
}

impl Workers {
    /// Starts them.
    ///
    /// # Errors
    /// Where the system starts no more threads.
    pub fn start(bounds: &Bounds, fonts: &Arc<Fonts>) -> std::io::Result<Self> {
        let (jobs, waiting) = channel();
        let waiting = Arc::new(Mutex::new(waiting));
        for number in 1..=bounds.workers {
            let (waiting, fonts) = (waiting.clone(), fonts.clone());
            std::thread::Builder::new()
                .name(format!("worker {number}"))
                .stack_size(STACK)
                .spawn(move || work(&waiting, &fonts))?;
        }
        let places = bounds.workers.saturating_add(bounds.waiting).min(Semaphore::MAX_PERMITS);
        Ok(Self { places: Arc::new(Semaphore::new(places)), jobs, longest: bounds.work })
    }

    /// Whether another text would find a place.
    pub fn has_room(&self) -> bool {
        self.places.available_permits() > 0
    }

    /// What becomes of a text. Its work is stopped when it takes too long, and when what waits here is
    /// dropped, as it is when the connection breaks.
    pub async fn answer(&self, wanted: Wanted) -> Result<Made, Unanswered> {
        let place = self.places.clone().try_acquire_owned().map_err(|_| Unanswered::Full)?;
        let (answer, made) = oneshot::channel();
        let until = Instant::now() + self.longest;
        let job = Job { wanted, until, answer, _place: place };
        self.jobs.send(job).map_err(|_| Unanswered::Broken)?;
        match tokio::time::timeout_at(until.into(), made).await {
            Err(_) => Err(Unanswered::Late),
            Ok(Err(_)) => Err(Unanswered::Broken),
            Ok(Ok(made)) => Ok(made),
        }
    }
}

fn work(waiting: &Mutex<Receiver<Job>>, fonts: &Arc<Fonts>) {
    loop {
        let next = waiting.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok(Job { wanted, until, answer, _place }) = next else { return };
        let stop = || answer.is_closed() || Instant::now() >= until;
        if stop() {
            continue;
        }
        // All that is shared with other texts is the faces, whose caches are whole between two calls. A
        // build that aborts where it panics ends here instead.
        if let Ok(made) = catch_unwind(AssertUnwindSafe(|| make(wanted, fonts, &stop))) {
            // Whoever waited may have gone meanwhile.
            let _ = answer.send(made);
        }
    }
}

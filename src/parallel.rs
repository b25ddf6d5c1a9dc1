//! Work on many things at once: on all processors with the feature `parallel`, one after the other
//! without it. What comes out is the same.

#[cfg(feature = "parallel")]
use std::sync::{
    OnceLock,
    atomic::{AtomicBool, Ordering},
    mpsc,
};
#[cfg(feature = "parallel")]
use std::thread::{self, ThreadId};

/// Into how many pieces work is cut at most: enough for processors that are not equally quick.
#[cfg(feature = "parallel")]
const PIECES: usize = 32;

/// Asked now and then in the midst of work: whether nobody waits for it any more.
pub type Stop<'a> = &'a (dyn Fn() -> bool + Sync);

/// Whether the threads are there: what once was worth waking them has done so.
#[cfg(feature = "parallel")]
static AWAKE: AtomicBool = AtomicBool::new(false);

/// The thread that works beside those that are started for it.
#[cfg(feature = "parallel")]
static SHARING: OnceLock<ThreadId> = OnceLock::new();

/// Says that all work is asked for by this thread, as in a program that does one thing and ends: then it works itself,
/// and one thread less is started. A thread that does so otherwise only waits for what others do. It is for the first
/// thread that says so, before there is any work; without the feature `parallel` every thread works itself.
pub fn share_this_thread() {
    #[cfg(feature = "parallel")]
    SHARING.get_or_init(|| thread::current().id());
}

/// Starts the threads, unless they are there or will start by themselves.
#[cfg(feature = "parallel")]
fn wake() {
    if !AWAKE.swap(true, Ordering::Relaxed) && SHARING.get() == Some(&thread::current().id()) {
        // Where it fails, there are such threads already.
        let _ = rayon::ThreadPoolBuilder::new().use_current_thread().build_global();
    }
}

/// How much work an item is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Each {
    /// A block or a paragraph: some hundredths of a millisecond.
    Small,
    /// A page, a file or a face: half a millisecond or more.
    Large,
}

impl Each {
    /// Whether so many items are worth other threads. To start these takes a millisecond of processors' time, as
    /// much again for what each of them sets up for itself, and another to end them.
    #[cfg(feature = "parallel")]
    fn is_worth_threads(self, items: usize) -> bool {
        let least = match (self, AWAKE.load(Ordering::Relaxed)) {
            (Self::Small, false) => 24,
            (Self::Small, true) => 12,
            (Self::Large, false) => 3,
            (Self::Large, true) => 2,
        };
        let worth = items >= least;
        if worth {
            wake();
        }
        worth
    }
}

/// What two functions make, where one of them has so many items to work on.
#[cfg(feature = "parallel")]
pub(crate) fn both<A: Send, B: Send>(
    each: Each,
    items: usize,
    one: impl FnOnce() -> A + Send,
    other: impl FnOnce() -> B + Send,
) -> (A, B) {
    if each.is_worth_threads(items) { rayon::join(one, other) } else { (one(), other()) }
}

/// What two functions make, where one of them has so many items to work on.
#[cfg(not(feature = "parallel"))]
pub(crate) fn both<A, B>(
    _: Each,
    _: usize,
    one: impl FnOnce() -> A,
    other: impl FnOnce() -> B,
) -> (A, B) {
    (one(), other())
}

/// What a function makes. Meanwhile another thread, where there is one, does something ahead, until it is stopped.
#[cfg(feature = "parallel")]
pub fn meanwhile<T: Send>(
    ahead: impl FnOnce(Stop<'_>) + Send,
    function: impl FnOnce() -> T + Send,
) -> T {
    wake();
    let made = AtomicBool::new(false);
    let asks = thread::current().id();
    let function = || {
        let result = function();
        made.store(true, Ordering::Relaxed);
        result
    };
    // Whoever waits for the function has no time for it, nor is it worth waiting for.
    let ahead = || {
        if thread::current().id() != asks {
            ahead(&|| made.load(Ordering::Relaxed));
        }
    };
    rayon::join(function, ahead).0
}

/// What a function makes; there is no other thread that could do something ahead.
#[cfg(not(feature = "parallel"))]
pub fn meanwhile<T>(_: impl FnOnce(Stop<'_>), function: impl FnOnce() -> T) -> T {
    function()
}

/// Gives up something that has so many parts, where that takes nobody's time.
#[cfg(feature = "parallel")]
pub(crate) fn give_up<T: Send + 'static>(each: Each, parts: usize, unneeded: T) {
    // A thread that is alone would come to it last of all.
    if each.is_worth_threads(parts) && rayon::current_num_threads() > 1 {
        rayon::spawn(move || drop(unneeded));
    } else {
        drop(unneeded);
    }
}

/// Gives up something that has so many parts.
#[cfg(not(feature = "parallel"))]
pub(crate) fn give_up<T>(_: Each, _: usize, unneeded: T) {
    drop(unneeded);
}

/// What another thread makes while other work goes on.
#[derive(Debug)]
pub(crate) enum Later<T> {
    /// It was made at once.
    Made(T),
    /// It comes from there, or not where making it failed.
    #[cfg(feature = "parallel")]
    Coming(mpsc::Receiver<T>),
}

/// Makes something while other work goes on, where there is a thread that could.
#[cfg(feature = "parallel")]
pub(crate) fn later<T: Send + 'static>(make: impl FnOnce() -> T + Send + 'static) -> Later<T> {
    // A thread that is alone would come to it last of all, and keep what it is made of until then.
    if !AWAKE.load(Ordering::Relaxed) || rayon::current_num_threads() == 1 {
        return Later::Made(make());
    }
    let (made, coming) = mpsc::sync_channel(1);
    // Nobody may wait for it any more.
    rayon::spawn(move || drop(made.send(make())));
    Later::Coming(coming)
}

/// Makes something; there is no other thread that could.
#[cfg(not(feature = "parallel"))]
pub(crate) fn later<T>(make: impl FnOnce() -> T) -> Later<T> {
    Later::Made(make())
}

impl<T> Later<T> {
    /// What was made; nothing where that failed. This thread helps with other work until it is there.
    pub(crate) fn get(self) -> Option<T> {
        match self {
            Self::Made(made) => Some(made),
            #[cfg(feature = "parallel")]
            Self::Coming(coming) => loop {
                match coming.try_recv() {
                    Ok(made) => return Some(made),
                    Err(mpsc::TryRecvError::Disconnected) => return None,
                    // Where there is nothing to help with, another thread is at it.
                    Err(mpsc::TryRecvError::Empty) => match rayon::yield_now() {
                        Some(rayon::Yield::Executed) => {}
                        Some(rayon::Yield::Idle) | None => return coming.recv().ok(),
                    },
                }
            },
        }
    }
}

/// What a function makes of each item, in the items' order; nothing where the work was stopped.
pub(crate) fn map_until<T: Send, R: Send>(
    stop: Stop<'_>,
    each: Each,
    items: Vec<T>,
    function: impl Fn(T) -> R + Send + Sync,
) -> Option<Vec<R>> {
    map_in_order(each, items, |item| (!stop()).then(|| function(item))).into_iter().collect()
}

/// What a function makes of each item, in the items' order.
#[cfg(feature = "parallel")]
pub(crate) fn map_in_order<T: Send, R: Send>(
    each: Each,
    items: Vec<T>,
    function: impl Fn(T) -> R + Send + Sync,
) -> Vec<R> {
    use rayon::prelude::*;
    if !each.is_worth_threads(items.len()) {
        return items.into_iter().map(function).collect();
    }
    let piece = items.len().div_ceil(PIECES);
    items.into_par_iter().with_min_len(piece).with_max_len(piece).map(function).collect()
}

/// What a function makes of each item, in the items' order.
#[cfg(not(feature = "parallel"))]
pub(crate) fn map_in_order<T, R>(_: Each, items: Vec<T>, function: impl Fn(T) -> R) -> Vec<R> {
    items.into_iter().map(function).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::thread;

    #[test]
    fn what_is_done_meanwhile_is_stopped_and_keeps_nobody_waiting() {
        let here = thread::current().id();
        let was_here = AtomicBool::new(false);
        let ahead = |stop: Stop<'_>| {
            was_here.fetch_or(thread::current().id() == here, Ordering::Relaxed);
            while !stop() {
                thread::yield_now();
            }
        };
        assert_eq!(meanwhile(ahead, || 7), 7);
        assert!(!was_here.load(Ordering::Relaxed), "not on the thread that asks");
    }

    #[test]
    fn what_is_made_later_comes_as_it_was_asked_for() {
        // So many items wake the threads.
        let numbers = || (0..200).collect::<Vec<usize>>();
        let asked = map_in_order(Each::Small, numbers(), |number| later(move || 2 * number));
        let made: Vec<_> = asked.into_iter().map(Later::get).collect();
        let wanted: Vec<_> = numbers().into_iter().map(|number| Some(2 * number)).collect();
        assert_eq!(made, wanted, "on a thread that only asks");
        let ask = |number| later(move || 2 * number).get();
        assert_eq!(map_in_order(Each::Small, numbers(), ask), wanted, "on threads that work");
    }
}

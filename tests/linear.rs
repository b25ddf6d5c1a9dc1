//! Cost grows with the number of bars and no faster. A file of its own, so that no other test runs
//! beside it.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use std::time::{Duration, Instant};

#[test]
fn four_times_the_bars_cost_little_more_than_four_times_as_much() {
    let fonts = Fonts::built_in().unwrap();
    let bars = |count: usize| {
        let bar = "S.ss .s.s sss ssss | ";
        format!("groove a \"A\"\n  play  {}\n", bar.repeat(count).trim_end_matches(" | "))
    };
    let compile = |text: &str| {
        let source = Source::new("long.flam", text);
        assert!(flamacue::compile(&source, &fonts, &mut Diagnostics::default()).is_some());
    };
    assert_ratio((&bars(1_000), &bars(4_000)), 4.4, &compile);

    // A hit that goes on through all bars over a foot that plays in each, as it is played.
    let held = |count: usize| {
        let hands = ["ssss"].into_iter().chain(std::iter::repeat("----")).take(count);
        let hands = hands.collect::<Vec<_>>().join(" | ");
        let feet = ["kkkk"].repeat(count).join(" | ");
        format!("exercise\n  time: 1/4\n  hands  {hands}\n  feet   {feet}\n")
    };
    let read = |text: &str| {
        let source = Source::new("held.flam", text);
        assert!(flamacue::read(&source, &mut Diagnostics::default()).is_some());
    };
    assert_ratio((&held(3_000), &held(12_000)), 6.0, &read);
}

/// The longer text may take so many times what the shorter takes.
fn assert_ratio((short, long): (&str, &str), most: f64, work: &(dyn Fn(&str) + Sync)) {
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let time = |text: &str| {
        one.install(|| {
            let start = Instant::now();
            let taken = on_processor();
            work(text);
            match (taken, on_processor()) {
                (Some(from), Some(to)) => to.saturating_sub(from),
                (None, _) | (_, None) => start.elapsed(),
            }
        })
    };
    // In turn, and again where the machine was slower for one of the two; the best of one time is not held against that of
    // another, as the shorter has more luck. On one thread, since how work falls to processors is no part of what it
    // costs.
    let mut ratios: Vec<f64> = Vec::new();
    while ratios.len() < 6 && ratios.iter().all(|ratio| *ratio >= most) {
        let small = time(short);
        ratios.push(time(long).as_secs_f64() / small.as_secs_f64());
    }
    assert!(ratios.iter().any(|ratio| *ratio < most), "not under {most} times: {ratios:.2?}");
}

/// How long this thread has been on a processor, where the system tells: what else the machine does is no part of it
/// (Linux, `proc/PID/schedstat`: nanoseconds first).
fn on_processor() -> Option<Duration> {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    told.split_whitespace().next()?.parse().ok().map(Duration::from_nanos)
}
